using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Acquire.Sweeps;

/// <summary>The last scans of the ramp without single-scan spikes, with running sums so that a line through any stretch costs the same.</summary>
/// <remarks>
/// A scan enters when the one after it is known: only then can a spike (off both neighbours, the same way) be told from the first scan
/// after a flyback. Its place is taken by the mean of its neighbours. Sums are kept modulo 2^64, which is exact for differences over a
/// stretch of up to 2^20 scans: 2^40 / 2 * 65,535 is below 2^63.
/// </remarks>
internal sealed partial class RampHistory
{
    public const int DefaultCapacity = 1 << 20;

    private readonly ushort[] _codes;
    private readonly int _mask;
    private readonly int _fullCode;
    private long _sum;
    private long _moment;
    private ushort _pending;
    private bool _hasPending;

    public RampHistory(int fullCode, int capacity = DefaultCapacity)
    {
        _codes = new ushort[capacity];
        int blocks = Math.Max(1, capacity >> BlockBits);
        _grains = new byte[blocks];
        _pieces = new KeptSums[blocks * PiecesInBlock];
        Array.Fill(_grains, (byte)PieceScans);
        Array.Fill(_completedStarts, long.MinValue);
        _mask = capacity - 1;
        _fullCode = fullCode;
        Noise = new RampNoise();
    }

    /// <summary>One past the last scan that has entered.</summary>
    public long End { get; private set; }

    /// <summary>First scan after the last gap, break or begin.</summary>
    public long SegmentStart { get; private set; }

    /// <summary>Oldest scan that can still be read and summed.</summary>
    public long Oldest => OldestAt(End);

    /// <summary>Scans that it can hold.</summary>
    public int Capacity => _codes.Length;

    public RampNoise Noise { get; }

    public ushort this[long scan]
    {
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        get => _codes[scan & _mask];
    }

    /// <summary>Takes the next scan; the scan before it enters.</summary>
    /// <returns>Whether a scan entered.</returns>
    public bool Push(ushort code)
    {
        if (!_hasPending)
        {
            _pending = code;
            _hasPending = true;
            return false;
        }

        ushort entering = _pending;
        if (End > SegmentStart && !IsNear(entering))
        {
            int before = this[End - 1];
            int offBefore = entering - before, offAfter = entering - code;
            if ((offBefore > 0) == (offAfter > 0))
            {
                int off = Math.Min(Math.Abs(offBefore), Math.Abs(offAfter));
                // The tip of a steep ramp is one step off both neighbours; a spike is much more.
                int step = End > SegmentStart + 1 ? Math.Abs(before - this[End - 2]) : 0;
                double limit = Math.Max(8 * Noise.Sigma, 0.01 * _fullCode) + Math.Max(2.0 * Math.Abs(before - code), 3.0 * step);
                if (off > limit) entering = (ushort)((before + code) / 2);
            }

            if (End > SegmentStart + 2 && entering == _pending)
            {
                // On a steep ramp: the scan after goes on with the line through the scans before, this one does not.
                double slope = (before - this[End - 3]) / 2.0;
                double off = Math.Abs(entering - before - slope), next = Math.Abs(code - before - (2 * slope));
                double slack = Math.Max(4 * Noise.Sigma, 0.25 * Math.Abs(slope));
                if (next <= slack && off > Math.Max(Math.Max(8 * Noise.Sigma, 0.005 * _fullCode), 0.7 * Math.Abs(slope)))
                    entering = (ushort)((before + code) / 2);
            }
        }

        Enter(entering);
        _pending = code;
        return true;
    }

    /// <summary>Whether a scan lies so near those before it that it is no spike whatever comes after it.</summary>
    private bool IsNear(ushort entering)
    {
        if (End <= SegmentStart + 2) return false;
        int before = this[End - 1], off = Math.Abs(entering - before), twice = Math.Abs(before - this[End - 3]);
        // Off the scan before it, and off the line through it and the one two before that.
        return (2 * off) + twice <= 2 * Math.Max(8 * Noise.Sigma, 0.005 * _fullCode);
    }

    /// <summary>Lets the last scan enter: nothing follows it directly.</summary>
    /// <returns>Whether a scan entered.</returns>
    public bool Flush()
    {
        if (!_hasPending) return false;
        _hasPending = false;
        Enter(_pending);
        return true;
    }

    /// <summary>Starts a new stretch after a gap or break; call after <see cref="Flush"/>.</summary>
    public void StartSegment() => SegmentStart = End;

    /// <summary>Sum over scans [from, to).</summary>
    public long Sum(long from, long to) => to - from <= FewScans ? SumOfFew(from, to) : unchecked(UpTo(to).Sum - UpTo(from).Sum);

    public double Mean(long from, long to) => (double)Sum(from, to) / (to - from);

    /// <summary>Means of blocks of scans side by side.</summary>
    /// <param name="from">First scan of the first block.</param>
    /// <param name="block">Scans of each.</param>
    /// <param name="means">Takes them, in codes.</param>
    public void Means(long from, long block, Span<double> means)
    {
        if (block <= FewScans && SideBySide(from, block * means.Length) is { Length: > 0 } codes) MeansOf(codes, (int)block, means);
        else for (int i = 0; i < means.Length; i++, from += block) means[i] = Mean(from, from + block);
    }

    /// <summary>Scans where they lie side by side in memory with as many behind them as a vector holds; otherwise none.</summary>
    public ReadOnlySpan<ushort> SideBySide(long from, long scans)
    {
        long at = from & _mask;
        return at + scans + Vector256<ushort>.Count <= _codes.Length ? _codes.AsSpan((int)at, (int)scans) : default;
    }

    /// <summary>Line through scans [from, to), at least one.</summary>
    public LineFit Fit(long from, long to) => UpTo(from).LineTo(UpTo(to), out _);

    /// <summary>Line through all scans from one on, at least two.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public LineFit FitFrom(long from)
    {
        if (!TryGetPieceSums(from - 1, out KeptSums before)) return Fit(from, End);
        long sum = unchecked(_sum - before.Sum);
        return RunningSums.Line(End - from, sum, unchecked(_moment - before.Moment - (from * sum)), out _);
    }

    /// <summary>Running sums over all scans before one, to ask for more than one stretch from there or up to there.</summary>
    public RunningSums UpTo(long end)
    {
        if (end == End) return new RunningSums(end, _sum, _moment);
        return end == 0 ? default : UpToAny(end);
    }

    private RunningSums UpToAny(long end)
    {
        int within = (int)(end & (BlockScans - 1)), slot = GrainOf(end - 1) & (CompletedBlocks - 1);
        if (_completedStarts[slot] == end - 1 - within && _completedEnds[slot] >= end)
        {
            KeptSums kept = _completed[(slot * BlockScans) + within];
            return new RunningSums(end, kept.Sum, kept.Moment);
        }

        (long sum, long moment) = SumsAt(end - 1);
        return new RunningSums(end, sum, moment);
    }

    /// <summary>As <see cref="UpTo"/> where the sums are at hand.</summary>
    public bool TryGetSums(long end, out RunningSums sums)
    {
        KeptSums kept = new(_sum, _moment);
        bool known = end == End || (end > 0 && TryGetPieceSums(end - 1, out kept));
        sums = new RunningSums(end, kept.Sum, kept.Moment);
        return known;
    }

    private void Enter(ushort code)
    {
        long at = End;
        MeetSingle(at);
        int slot = (int)(at & _mask);
        _codes[slot] = code;
        _sum = unchecked(_sum + code);
        _moment = unchecked(_moment + (at * code));
        if (IsPieceEnd(at)) KeepSums(at, _sum, _moment);
        End = at + 1;
        if (at - SegmentStart >= 2)
        {
            if (Noise.IsSettled && RampNoise.FirstFrom(at) != at) return;
            int bend = code - (2 * this[at - 1]) + this[at - 2];
            Noise.Add(Math.Abs(bend), at);
        }
    }
}
