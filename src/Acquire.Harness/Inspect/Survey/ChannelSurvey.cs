using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>Looks at one channel by itself, whatever the setup says it is: one pass, constant memory.</summary>
/// <remarks>It shares nothing with the engine, so that it can say what is wrong when the engine finds no sweep.</remarks>
internal sealed class ChannelSurvey
{
    private const int ScansPerSum = 16;

    // Fits the nearest cache beside what is counted.
    private const int ScansAtOnce = 4_096;

    private readonly int _channel;
    private readonly ChannelRole _role;
    private readonly int _fullCode;
    private readonly ushort[] _codes = new ushort[ScansAtOnce];
    private readonly int[] _sums = new int[(ScansAtOnce / ScansPerSum) + 1];
    private readonly CodeHistogram _histogram = new();
    private readonly NoiseEstimate _noise = new();
    private readonly NoiseEstimate _slowNoise = new();
    private readonly LegSurvey _legs = new();
    private readonly RailWatch _low = new(0);
    private readonly List<RailWatch> _high;
    private long _scan, _invalid;
    private int _sum, _summed;
    private long _firstInvalid = -1;
    private int _highestInvalid = -1;

    /// <summary>Begins at scan 0.</summary>
    /// <param name="channel">Channel index.</param>
    /// <param name="format">Bits and roles as the setup has them.</param>
    public ChannelSurvey(int channel, ScanFormat format)
    {
        _channel = channel;
        _role = format.Roles[channel];
        _fullCode = format.FullCode;
        // A foreign recording passes for 16 bits whatever its converter had: the rail may be any width's full code.
        _high = [.. Enumerable.Range(8, 9).Select(bits => (1 << bits) - 1).Where(rail => rail < _fullCode).Append(_fullCode).Select(rail => new RailWatch(rail))];
    }

    /// <summary>Codes of this channel so far.</summary>
    public CodeHistogram Histogram => _histogram;

    /// <summary>Takes scans that follow on the last ones.</summary>
    /// <param name="scans">Interleaved words, whole scans.</param>
    /// <param name="channelCount">Words in a scan.</param>
    public void Add(ReadOnlySpan<ushort> scans, int channelCount)
    {
        while (!scans.IsEmpty)
        {
            Span<ushort> codes = _codes.AsSpan(0, Math.Min(scans.Length / channelCount, ScansAtOnce));
            ChannelWords.Pick(scans[..(codes.Length * channelCount)], channelCount, _channel, codes);
            Add(codes);
            scans = scans[(codes.Length * channelCount)..];
        }
    }

    /// <summary>Scans are missing here.</summary>
    public void Break()
    {
        BreakNoise();
        _legs.Break();
        _low.Break();
        foreach (RailWatch rail in _high) rail.Break();
    }

    /// <summary>What is known so far.</summary>
    public ChannelReport Report()
    {
        int range = _histogram.Quantile(0.999) - _histogram.Quantile(0.001);
        (LegStatistics rising, LegStatistics falling) = _legs.Taller(range / 2.0);
        (LegStatistics lowRising, LegStatistics lowFalling) = _legs.Taller(range / 4.0);
        ChannelReport report = new()
        {
            Channel = _channel,
            Role = _role,
            Reason = "",
            ValidCodes = _histogram.Total,
            InvalidCodes = _invalid,
            FirstInvalidScan = _firstInvalid,
            HighestOfAll = Math.Max(_histogram.Highest, _highestInvalid),
            LowestCode = _histogram.Lowest,
            HighestCode = _histogram.Highest,
            UsualRangeCodes = range,
            MeanCode = _histogram.Mean,
            NoiseCodes = _noise.StandardDeviationCodes,
            DistinctCodes = _histogram.Distinct,
            SteadyLowBits = _histogram.SteadyLowBits(),
            LowRail = _low.Report(),
            HighRail = (_high.Find(rail => rail.Rail == _histogram.Highest) ?? _high[^1]).Report(),
            RisingLegs = rising,
            FallingLegs = falling,
            QuarterRisingLegs = lowRising,
            QuarterFallingLegs = lowFalling,
            Wander = _slowNoise.StandardDeviationCodes / (Math.Sqrt(ScansPerSum) * _noise.StandardDeviationCodes),
        };
        (ChannelRole? role, string reason) = RoleGuess.Of(report, _histogram);
        return report with { LikelyRole = role, Reason = reason };
    }

    private void Add(ReadOnlySpan<ushort> codes)
    {
        // Most runs are all valid, which their range shows.
        CodeRange range = CodeRange.Of(codes);
        if (range.Highest <= _fullCode)
        {
            AddValid(codes, range);
            return;
        }

        while (true)
        {
            int invalid = codes.IndexOfAnyExceptInRange((ushort)0, (ushort)_fullCode);
            ReadOnlySpan<ushort> valid = invalid < 0 ? codes : codes[..invalid];
            if (!valid.IsEmpty) AddValid(valid, CodeRange.Of(valid));
            if (invalid < 0) return;
            AddInvalid(codes[invalid]);
            codes = codes[(invalid + 1)..];
        }
    }

    private void AddValid(ReadOnlySpan<ushort> codes, CodeRange range)
    {
        // Below a code that came, the highest one's rail is not: only the full code's is asked for all the same.
        while (_high[0].Rail < range.Highest && _high.Count > 1) _high.RemoveAt(0);
        _histogram.Add(codes);
        _noise.Add(codes, range);
        AddSums(codes);
        _legs.Add(codes);
        _low.Add(codes, range, _scan);
        foreach (RailWatch rail in _high) rail.Add(codes, range, _scan);
        _scan += codes.Length;
    }

    private void AddInvalid(ushort code)
    {
        if (_invalid++ == 0) _firstInvalid = _scan;
        _highestInvalid = Math.Max(_highestInvalid, code);
        _scan++;
        BreakNoise();
    }

    private void AddSums(ReadOnlySpan<ushort> codes)
    {
        int sums = 0;
        if (_summed > 0)
        {
            int take = Math.Min(ScansPerSum - _summed, codes.Length);
            AddToSum(codes[..take]);
            codes = codes[take..];
            if (_summed < ScansPerSum) return;
            _sums[sums++] = _sum;
            (_sum, _summed) = (0, 0);
        }

        for (; codes.Length >= ScansPerSum; codes = codes[ScansPerSum..]) _sums[sums++] = SumOf(codes);
        AddToSum(codes);
        _slowNoise.Add(_sums.AsSpan(0, sums));
    }

    private void AddToSum(ReadOnlySpan<ushort> codes)
    {
        foreach (ushort code in codes) _sum += code;
        _summed += codes.Length;
    }

    private static int SumOf(ReadOnlySpan<ushort> atLeastSixteen)
    {
        Vector256<uint> pairs = Vector256.Create(atLeastSixteen).AsUInt32();
        return (int)Vector256.Sum((pairs & Vector256.Create((uint)ushort.MaxValue)) + (pairs >>> 16));
    }

    private void BreakNoise()
    {
        _noise.Break();
        _slowNoise.Break();
        (_sum, _summed) = (0, 0);
    }
}
