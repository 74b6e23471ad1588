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
        Legs single = new();
        foreach (ushort code in codes) single.Finder.Add(code);
        Assert.Equal(course == "still", single.Measured.Count + single.Short.Counts.ToArray().Sum() == 0);

        foreach (int longest in LongestCuts)
        {
            Legs runs = new();
            Cut(codes, longest, run => runs.Finder.Add(run.Span));
            AssertEqual(single, runs);
        }
    }

    [Theory]
    [MemberData(nameof(Courses))]
    public void Add_LegsOneByOne_AreThoseOfOneCodeAtATime(string course)
    {
        ushort[] codes = CodesOf(course);
        Legs single = new(), runs = new();
        single.Short.Closed = runs.Short.Closed = true;
        foreach (ushort code in codes) single.Finder.Add(code);

        Cut(codes, 5_000, run => runs.Finder.Add(run.Span));

        AssertEqual(single, runs);
    }

    [Theory]
    [MemberData(nameof(Courses))]
    public void Add_LegsAfterBreaks_AreThoseOfOneCodeAtATime(string course)
    {
        ushort[] codes = CodesOf(course);
        Legs single = new(), runs = new();

        Cut(codes, 9_000, run =>
        {
            foreach (ushort code in run.Span) single.Finder.Add(code);
            runs.Finder.Add(run.Span);
            single.Finder.Break();
            runs.Finder.Break();
        });

        AssertEqual(single, runs);
    }

    [Theory]
    [MemberData(nameof(Courses))]
    public void Add_SurveyOfRuns_SumsLegsOneByOneAndCodeByCode(string course)
    {
        ushort[] codes = CodesOf(course);
        Plain plain = new();
        LegSurvey single = new();
        foreach (ushort code in codes)
        {
            plain.Add(code);
            single.Add(code);
        }

        AssertEqual(plain, single);
        foreach (int longest in LongestCuts)
        {
            LegSurvey runs = new();
            Cut(codes, longest, run => runs.Add(run.Span));
            AssertEqual(plain, runs);
        }
    }

    [Fact]
    public void Add_LegsAfterOneWhoseSquareNoDoubleHolds_AreSummedInOrder()
    {
        // Three hundred million scans: from its square on, those of short legs are rounded away one by one. Those before it are not.
        const int slow = 300_000_000, high = 50_000;
        ushort[] noise = CodesOf("loud"), steady = new ushort[slow / high];
        Plain plain = new();
        LegSurvey runs = new();
        void Add(ReadOnlySpan<ushort> codes)
        {
            plain.Add(codes);
            runs.Add(codes);
        }

        Add(noise);
        for (int code = 0; code < high; code++)
        {
            steady.AsSpan().Fill((ushort)code);
            Add(steady);
        }

        Add(noise);

        Assert.True(runs.Taller(1).Rising.Scans > slow / 2);
        AssertEqual(plain, runs);
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

    private static void AssertEqual(Legs expected, Legs actual)
    {
        Assert.Equal(expected.Measured, actual.Measured);
        Assert.Equal(expected.Short.Counts, actual.Short.Counts);
    }

    private static void AssertEqual(Plain expected, LegSurvey actual)
    {
        foreach (double height in (double[])[1, 30, 1_000, 40_000]) Assert.Equivalent(expected.Taller(height), actual.Taller(height), strict: true);
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

    private sealed class Legs
    {
        public Legs() => Finder = new LegFinder(Measured.Add, Short);

        public List<Leg> Measured { get; } = [];

        public ShortLegs Short { get; } = new();

        public LegFinder Finder { get; }
    }

    // Of three codes the middle one, and every leg by itself.
    private sealed class Plain
    {
        private readonly LegStatistics[] _rising = [.. Enumerable.Range(0, LegHeights.Count).Select(_ => new LegStatistics())];
        private readonly LegStatistics[] _falling = [.. Enumerable.Range(0, LegHeights.Count).Select(_ => new LegStatistics())];
        private readonly LegFinder _finder;
        private readonly List<ushort> _last = [];

        public Plain() => _finder = new LegFinder(leg => (leg.Rising ? _rising : _falling)[LegHeights.StepOf((ushort)leg.ExcursionCodes)].Add(leg), new ShortLegs { Closed = true });

        public void Add(ushort code)
        {
            _last.Add(code);
            if (_last.Count < 3) return;
            _finder.Add(_last.Order().ElementAt(1));
            _last.RemoveAt(0);
        }

        // Many that are alike are taken as one run: their middles are they themselves.
        public void Add(ReadOnlySpan<ushort> codes)
        {
            bool alike = !codes.ContainsAnyExcept(codes[0]);
            foreach (ushort code in alike ? codes[..3] : codes) Add(code);
            if (alike) _finder.Add(codes[3..]);
        }

        public (LegStatistics Rising, LegStatistics Falling) Taller(double codes)
        {
            LegStatistics rising = new(), falling = new();
            for (int step = LegHeights.StepAbove(codes); step < LegHeights.Count; step++)
            {
                rising.Add(_rising[step]);
                falling.Add(_falling[step]);
            }

            return (rising, falling);
        }
    }
}
