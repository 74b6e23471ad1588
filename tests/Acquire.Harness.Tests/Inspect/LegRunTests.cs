using Acquire.Capture;
using Acquire.Harness.Inspect.Survey;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>Legs of codes taken many at a time are those of one code at a time, however they are cut.</summary>
public sealed class LegRunTests
{
    private const int Scans = 60_000;

    // Too short for anything but code by code, around what is taken at once, and all in one.
    private static readonly int[] LongestCuts = [3, 140, 700, 1_100, 1_400, 5_000, Scans];

    /// <summary>Courses whose turns come seldom, often, at both ends, by noise alone, by noise now and then, never, and after rests.</summary>
    public static TheoryData<string> Courses => ["ramp", "falling", "noise", "noisy halves", "bursts", "loud", "ends", "still", "louder", "steps", "spikes", "walk", "waves"];

    [Theory]
    [MemberData(nameof(Courses))]
    public void Add_LegsOfRuns_AreThoseOfOneCodeAtATime(string course)
    {
        ushort[] codes = CodesOf(course);
        List<Leg> single = [];
        LegFinder one = new(single.Add);
        foreach (ushort code in codes) one.Add(code);
        Assert.Equal(course == "still", single.Count == 0);

        foreach (int longest in LongestCuts)
        {
            List<Leg> runs = [];
            LegFinder many = new(runs.Add);
            Cut(codes, longest, run => many.Add(run.Span));
            Assert.Equal(single, runs);
        }
    }

    [Theory]
    [MemberData(nameof(Courses))]
    public void Add_LegsAfterBreaks_AreThoseOfOneCodeAtATime(string course)
    {
        ushort[] codes = CodesOf(course);
        List<Leg> single = [], runs = [];
        LegFinder one = new(single.Add), many = new(runs.Add);

        Cut(codes, 9_000, run =>
        {
            foreach (ushort code in run.Span) one.Add(code);
            many.Add(run.Span);
            one.Break();
            many.Break();
        });

        Assert.Equal(single, runs);
    }

    [Theory]
    [MemberData(nameof(Courses))]
    public void Add_SurveyOfRuns_SumsLegsAsOneCodeAtATime(string course)
    {
        ushort[] codes = CodesOf(course);
        LegSurvey single = new();
        foreach (ushort code in codes) single.Add(code);

        foreach (int longest in LongestCuts)
        {
            LegSurvey runs = new();
            Cut(codes, longest, run => runs.Add(run.Span));
            foreach (int height in (int[])[1, 30, 1_000]) Assert.Equivalent(single.Taller(height), runs.Taller(height), strict: true);
        }
    }

    [Theory]
    [MemberData(nameof(Courses))]
    public void Add_ChannelCutAnywhere_ReportsAsWholeOne(string course)
    {
        ushort[] codes = CodesOf(course);
        foreach (int bits in (int[])[12, 16])
        {
            ScanFormat format = new() { Bits = bits };
            ChannelSurvey whole = new(0, format), single = new(0, format);
            whole.Add(codes, channelCount: 1);
            Cut(codes, 1, scan => single.Add(scan.Span, channelCount: 1));
            Assert.Equivalent(single.Report(), whole.Report(), strict: true);
        }
    }

    private static void Cut(ushort[] codes, int longest, Action<ReadOnlyMemory<ushort>> take)
    {
        Random random = new(7);
        for (int at = 0; at < codes.Length;)
        {
            int run = Math.Min(codes.Length - at, longest == codes.Length ? longest : random.Next(1, longest + 1));
            take(codes.AsMemory(at, run));
            at += run;
        }
    }

    private static ushort[] CodesOf(string course)
    {
        Random random = new(20_261_128);
        double Noise(double codes) => codes * (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5) * 2;
        double walk = 30_000;
        return [.. Enumerable.Range(0, Scans).Select(i => (ushort)Math.Clamp(course switch
        {
            "ramp" => (Math.Min(i % 11_000, 9_000) * 0.4) + 200 + Noise(3),
            "falling" => 3_900 - (Math.Max(0, (i % 5_000) - 700) * 0.9) + Noise(1),
            "noise" => 3_500 + Noise(20),
            "noisy halves" => i % 3_000 < 1_500 ? 3_500 + Noise(20) : 3_480 + (i % 3_000 / 75.0),
            // Noise lasts less than a stretch, then a leg does longer than one.
            "bursts" => i % 700 < 150 ? 2_000 + Noise(30) : 1_950 + (i % 700 / 8.0) + Noise(2),
            "loud" => random.Next(65_536),
            "ends" => random.Next(2) * 65_535,
            "still" => 2_000 + (i % 997 == 0 ? 1 : 0) - (i % 501 < 3 ? 1 : 0),
            // The range widens again and again.
            "louder" => 32_768 + Noise(4 + (i / 2.5)),
            "steps" => (i / 97 % 2 * 1_000) + (i / 1_000 % 3) + 500,
            "spikes" => 2_000 + (i % 501 < 2 ? 1_500 : 0) - (i % 1_203 < 3 ? 1_900 : 0) + Noise(2),
            "walk" => walk += Noise(40),
            _ => 2_048 + (1_800 * Math.Sin(i / 70.0) * Math.Sin(i / 9_000.0)) + Noise(5),
        }, 0, 65_535))];
    }
}
