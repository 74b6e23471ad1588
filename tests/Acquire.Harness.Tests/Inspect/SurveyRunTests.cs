using Acquire.Capture;
using Acquire.Harness.Inspect.Spectra;
using Acquire.Harness.Inspect.Survey;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>Codes taken many at a time give what they give one at a time, however they are cut.</summary>
public sealed class SurveyRunTests
{
    // Around the widths of vectors, and beyond what is taken at once.
    private static readonly int[] Lengths = [.. Enumerable.Range(0, 140), 1_023, 1_027, 1_028, 4_095, 4_096, 4_097, 9_001];

    [Fact]
    public void Add_NoiseOfAnyLength_IsThatOfOneCodeAtATime()
    {
        foreach (int length in Lengths)
        {
            ushort[] codes = Codes(length, highest: 65_535);
            NoiseEstimate single = new(), run = new();
            foreach (ushort code in codes) single.Add(code);

            run.Add(codes.AsSpan(0, length / 3));
            run.Add(codes.AsSpan(length / 3));

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

            run.Add(codes.AsSpan(0, length / 3), firstScan: 0);
            run.Add(codes.AsSpan(length / 3), length / 3);

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
    public void Add_SurveyCutAnywhere_ReportsAsWholeOne()
    {
        // Codes beyond 12 bits, one in about thirty, end the runs anywhere.
        ushort[] words = Codes(40_000, highest: 4_230);
        ChannelSurvey whole = new(1, new ScanFormat { Bits = 12 }), single = new(1, new ScanFormat { Bits = 12 });

        whole.Add(words, channelCount: 2);
        for (int at = 0; at < words.Length; at += 2) single.Add(words.AsSpan(at, 2), channelCount: 2);

        Assert.Equivalent(single.Report(), whole.Report(), strict: true);
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
