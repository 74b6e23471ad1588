using Acquire.Capture;
using Acquire.Harness.Inspect.Spectra;
using Acquire.Harness.Inspect.Survey;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>Codes taken many at a time give what they give one at a time, however they are cut.</summary>
public sealed class SurveyRunTests
{
    // Around the widths of vectors, and beyond what is taken at once.
    private static readonly int[] Lengths = [.. Enumerable.Range(0, 140), 1_023, 1_027, 1_028, 4_095, 4_096, 4_097, 9_001];

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(8_191)]
    [InlineData(8_192)]
    [InlineData(65_535)]
    public void Add_NoiseOfAnyLength_IsThatOfOneCodeAtATime(int range)
    {
        foreach (int length in Lengths)
        {
            ushort[] codes = [.. Codes(length, range).Select(code => (ushort)(65_535 - code))];
            NoiseEstimate single = new(), run = new();
            foreach (ushort code in codes) single.Add(code);

            AddTo(run, codes.AsSpan(0, length / 3));
            AddTo(run, codes.AsSpan(length / 3));

            Assert.Equal(single.StandardDeviationCodes, run.StandardDeviationCodes);
        }
    }

    [Theory]
    [InlineData(8_191)]
    [InlineData(8_192)]
    [InlineData(65_535)]
    public void Add_NoiseFromEndToEnd_IsThatOfOneCodeAtATime(int range)
    {
        // The largest third differences of all.
        ushort[] codes = [.. Enumerable.Range(0, 200).Select(i => (ushort)(i % 2 * range))];
        NoiseEstimate single = new(), run = new();
        foreach (ushort code in codes) single.Add(code);

        AddTo(run, codes);

        Assert.Equal(single.StandardDeviationCodes, run.StandardDeviationCodes);
    }

    [Fact]
    public void Add_NoiseOfWideValues_IsThatOfOneAtATime()
    {
        foreach (int length in Lengths)
        {
            int[] values = [.. Codes(length, highest: 9_000).Select(code => (code * 116) + 1)];
            NoiseEstimate single = new(), run = new();
            foreach (int value in values) single.Add(value);

            run.Add(values.AsSpan(0, length / 3));
            run.Add(values.AsSpan(length / 3));

            Assert.Equal(single.StandardDeviationCodes, run.StandardDeviationCodes);
        }
    }

    [Fact]
    public void Add_RailOfAnyLength_CountsAsAPlainLoopDoes()
    {
        foreach (int length in Lengths)
        {
            ushort[] codes = Codes(length, highest: 1);
            RailWatch run = new(1);

            AddTo(run, codes.AsSpan(0, length / 3), firstScan: 0);
            AddTo(run, codes.AsSpan(length / 3), length / 3);

            Assert.Equal(PlainRail(codes, rail: 1), run.Report());
        }
    }

    [Fact]
    public void Add_HistogramOfAnyLength_CountsEveryCode()
    {
        ushort[] codes = Codes(9_001, highest: 4_095);
        CodeHistogram histogram = new();

        histogram.Add(codes);

        Assert.Equal(codes.Length, histogram.Total);
        Assert.All(Enumerable.Range(0, 4_096), code => Assert.Equal(codes.Count(c => c == code), histogram.Counts[code]));
    }

    [Fact]
    public void Add_CorrelationOfRuns_IsThatOfPairs()
    {
        // Sums of 12-bit products over so few scans are whole numbers that a double holds, so both ways are exact.
        foreach (int length in Lengths)
        {
            ushort[] codes = Codes(3 * length, highest: 4_095);
            Correlation pairs = new(), runs = new();
            for (int i = 0; i < codes.Length; i += 3) pairs.Add(codes[i + 2], codes[i]);

            runs.Add(codes.AsSpan(0, length / 3 * 3), channelCount: 3, first: 2, second: 0);
            runs.Add(codes.AsSpan(length / 3 * 3), channelCount: 3, first: 2, second: 0);

            Assert.Equal(pairs.Result, runs.Result);
        }
    }

    [Fact]
    public void Add_LegSumsOfAnyLength_AreThoseOfOneCodeAtATime()
    {
        foreach (int length in Lengths.Where(l => l > 0))
        {
            ushort[] codes = Codes(length, highest: 65_535);
            LegSums single = LegSums.From(codes[0]);
            foreach (ushort code in codes.AsSpan(1)) single.Add(code);

            LegSums runs = LegSums.From(codes.AsSpan(0, (length + 2) / 3));
            runs.Add(codes.AsSpan((length + 2) / 3));

            Assert.Equal(single, runs);
        }
    }

    [Fact]
    public void StraightnessOf_CodesOfAnyLength_IsThatOfTheirSums()
    {
        foreach (int highest in (int[])[0, 1, 4_095, 65_535])
            foreach (int length in Lengths.Where(l => l >= 2))
            {
                ushort[] codes = Codes(length, highest);
                Assert.Equal(LegSums.From(codes).Straightness(2), LegSums.StraightnessOf(codes));
            }
    }

    [Fact]
    public void Straightness_OfLongLegs_IsThatOfAFitInExtendedPrecision()
    {
        // Least squares by their definition, about the means, in 128 bits: nothing cancels that a double would lose.
        ushort[] codes = [.. Enumerable.Range(0, 60_000).Select(i => (ushort)((i / 2) + (i % 7 * 100)))];
        decimal n = codes.Length, meanTime = (n - 1) / 2, meanCode = codes.Sum(c => (decimal)c) / n, tt = 0, cc = 0, tc = 0;
        for (int i = 0; i < codes.Length; i++)
        {
            decimal t = i - meanTime, c = codes[i] - meanCode;
            tt += t * t;
            cc += c * c;
            tc += t * c;
        }

        Assert.Equal((double)(tc / tt * tc / cc), LegSums.From(codes).Straightness(8), 12);
    }

    [Fact]
    public void Of_RangeOfAnyLength_IsLeastAndMost()
    {
        foreach (int length in Lengths.Where(l => l > 0))
        {
            ushort[] codes = Codes(length, highest: 65_535);
            Assert.Equal(new CodeRange(codes.Min(), codes.Max()), CodeRange.Of(codes));
        }
    }

    [Fact]
    public void Pick_AnyChannelOfAnyNumber_IsThatChannel()
    {
        foreach (int channels in (int[])[2, 3, 8])
            foreach (int length in Lengths)
            {
                ushort[] scans = Codes(length * channels, highest: 65_535), words = new ushort[length];
                for (int channel = 0; channel < channels; channel++)
                {
                    ChannelWords.Pick(scans, channels, channel, words);
                    Assert.Equal(Enumerable.Range(0, length).Select(i => scans[(i * channels) + channel]), words);
                }
            }
    }

    [Theory]
    [InlineData(2, 0, 1)]
    [InlineData(2, 1, 0)]
    [InlineData(2, 1, 1)]
    [InlineData(3, 2, 0)]
    public void Of_PairSumsOfAnyLength_AreThoseOfAPlainLoop(int channels, int first, int second)
    {
        foreach (int length in Lengths)
        {
            ushort[] scans = Codes(length * channels, highest: 65_535);
            Assert.Equal(PairSums.Plain(scans, channels, first, second), PairSums.Of(scans, channels, first, second));
        }
    }

    [Fact]
    public void Add_ValuesInPieces_AreCountedOnce()
    {
        ushort[] values = Codes(9_001, highest: 70);
        ValueCounts counts = new();
        counts.Add(values.AsSpan(0, 4_001));
        Assert.Equal(4_001, counts.Counts.ToArray().Sum());

        counts.Add(values.AsSpan(4_001));

        Assert.All(Enumerable.Range(0, 71), value => Assert.Equal(values.Count(v => v == value), counts.Counts[value]));
        Assert.Equal(values.Length, counts.Total);
    }

    [Fact]
    public void Add_SurveyCutAnywhere_ReportsAsWholeOne()
    {
        // Codes beyond 12 bits, one in about thirty, end the runs anywhere.
        ushort[] words = Codes(40_000, highest: 4_230);
        ChannelSurvey whole = new(1, new ScanFormat { Bits = 12 }), single = new(1, new ScanFormat { Bits = 12 });

        whole.Add(words, channelCount: 2);
        for (int at = 0; at < words.Length; at += 2) single.Add(words.AsSpan(at, 2), channelCount: 2);

        Assert.Equivalent(single.Report(), whole.Report(), strict: true);
    }

    private static void AddTo(RailWatch rail, ReadOnlySpan<ushort> codes, long firstScan)
    {
        if (!codes.IsEmpty) rail.Add(codes, CodeRange.Of(codes), firstScan);
    }

    private static void AddTo(NoiseEstimate noise, ReadOnlySpan<ushort> codes)
    {
        if (!codes.IsEmpty) noise.Add(codes, CodeRange.Of(codes));
    }

    private static RailReport PlainRail(ushort[] codes, ushort rail)
    {
        long scans = 0, stays = 0, inStays = 0, first = -1;
        for (int at = 0; at < codes.Length;)
        {
            int end = at;
            while (end < codes.Length && codes[end] == rail) end++;
            scans += end - at;
            if (end - at >= RailWatch.ShortestStay)
            {
                stays++;
                inStays += end - at;
                if (first < 0) first = at;
            }

            at = end + 1;
        }

        return new RailReport(scans, stays, inStays, first);
    }

    private static ushort[] Codes(int length, int highest)
    {
        Random random = new(20_261_128);
        return [.. Enumerable.Range(0, length).Select(_ => (ushort)random.Next(highest + 1))];
    }
}
