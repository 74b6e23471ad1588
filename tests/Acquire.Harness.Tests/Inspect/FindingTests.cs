using System.Globalization;
using System.Text.RegularExpressions;
using Acquire.Capture;
using Acquire.Harness.Inspect;
using Acquire.Harness.Inspect.Findings;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Harness.Tests.Inspect;

public sealed class FindingTests
{
    public static TheoryData<string> Names => [.. FindingName.All];

    [Fact]
    public void Find_CleanBench_FindsNothing()
    {
        IReadOnlyList<Finding> findings = Inspection.Find(new Bench().Look());

        Assert.Empty(findings);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Find_RecordingWithTheFault_NamesIt(string name)
    {
        IReadOnlyList<Finding> findings = Inspection.Find(FindingRaisers.Look(name));

        Assert.True(findings.Any(f => f.Name == name), $"Found instead: {string.Join("; ", findings)}");
    }

    [Fact]
    public void Find_SweepCutByAGap_IsNoRetraceThatDraws()
    {
        IReadOnlyList<Finding> findings = Inspection.Find((new Bench() with { Gaps = [(7_000, 7)] }).Look());

        Assert.Equal([FindingName.Gaps], findings.Select(f => f.Name));
    }

    [Fact]
    public void Find_MainsOnTheRamp_WhateverTheRecordingsLength()
    {
        // Six waves of 50 Hz and more at 20,000 scans a second, by eighths of a wave: the leg that is cut at an end must not count.
        for (int eighths = 64; eighths < 200; eighths += 3)
        {
            Bench bench = new() { Sweeps = 0, RestScans = 50 * eighths, RampLow = 2_000, RampHigh = 2_000, OnRamp = scan => 900 * Math.Sin(2 * Math.PI * 50 * scan / 20_000) };

            Assert.Contains(Inspection.Find(bench.Look()), f => f.Name == FindingName.RampIsHum && f.Message.Contains("50 Hz", StringComparison.Ordinal));
        }
    }

    [Fact]
    public void Find_NotANumber_IsNoCodeBeyondBits()
    {
        Bench bench = new() { Change = words => words[5_001] = ushort.MaxValue };

        IReadOnlyList<Finding> findings = Inspection.Find(bench.Look(bench.Setup, new RecordingFacts { Name = "bench", NotANumber = 1 }));

        Finding found = Assert.Single(findings);
        Assert.Equal(FindingName.NotANumber, found.Name);
        Assert.Equal(2_500, found.AtScan);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Find_AnyRecording_GravestFirstAndOnceEach(string name)
    {
        InspectionFacts facts = FindingRaisers.Look(name);
        IReadOnlyList<Finding> findings = Inspection.Find(facts);

        Assert.Equal(findings.OrderBy(f => f.Severity).Select(f => f.Name), findings.Select(f => f.Name));
        Assert.All(findings, f => Assert.True(f.Count >= 1 && f.AtScan >= 0 && f.Message.Length > 0 && f.Cure.Length > 0, f.ToString()));
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Look_AnyRecording_EveryScanIsCountedOnce(string name)
    {
        Accounting a = FindingRaisers.Look(name).Accounting;

        Assert.Equal(a.Scans, a.InColumns + a.Overscan + a.Retrace + a.Rest + a.Blanked + a.Unassigned);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Look_AnyRecording_SweepsFollowOneAnother(string name)
    {
        InspectionFacts facts = FindingRaisers.Look(name);
        IReadOnlyList<SweepRow> sweeps = facts.Sweeps.First;

        long end = 0;
        for (int i = 0; i < sweeps.Count; i++)
        {
            Assert.Equal(i, sweeps[i].Info.Number);
            Assert.InRange(sweeps[i].Info.StartScan, end, long.MaxValue);
            Assert.InRange(sweeps[i].Info.EndScan, sweeps[i].Info.StartScan + 1, long.MaxValue);
            end = sweeps[i].Info.EndScan;
        }

        Assert.InRange(end, 0, facts.Scans);
    }

    [Fact]
    public void Find_Ripple_AmplitudeInVoltsAndFrequencyAreThoseOfTheWave()
    {
        Bench bench = new() { OnRamp = scan => 20 * Math.Sin(2 * Math.PI * 75 * scan / 20_000) };
        // 4 095 codes are 8.19 V: a code is 2 mV, 20 codes are 40 mV.
        Setup setup = bench.Setup with { RampVolts = new CodeVolts(0, 8.19m) };

        Finding finding = Named(FindingName.RampRipple, bench.Look(setup));

        Assert.Contains("20 codes (40 mV) peak", Rounded(finding.Message), StringComparison.Ordinal);
        Assert.Contains("75 Hz", Rounded(finding.Message), StringComparison.Ordinal);
    }

    [Fact]
    public void Find_HumOnALogarithmicVertical_IsGivenInDecibels()
    {
        Bench bench = new() { Sweeps = 12, OnVertical = scan => 41 * Math.Sin(2 * Math.PI * 50 * scan / 20_000) };
        // 4 095 codes are 1 V are 100 dB: 41 codes are 1.0 dB.
        Setup setup = bench.Setup with { Verticals = [new VerticalScale { Volts = new CodeVolts(0, 1), Level = [new LevelPoint(0, -100), new LevelPoint(1, 0)] }] };

        Finding finding = Named(FindingName.VerticalHum, bench.Look(setup));

        Assert.Contains("(1 dB)", Rounded(finding.Message), StringComparison.Ordinal);
        Assert.Contains("50 Hz (the mains)", Rounded(finding.Message), StringComparison.Ordinal);
        Assert.Equal(FindingSeverity.Warning, finding.Severity);
    }

    [Fact]
    public void Find_HumButNoScanRate_SpeaksInScans()
    {
        Bench bench = new() { Sweeps = 12, ScanRateHz = null, OnVertical = scan => 41 * Math.Sin(2 * Math.PI * scan / 400) };

        Finding finding = Named(FindingName.VerticalHum, bench.Look());

        Assert.Contains("one cycle in 400 scans", Rounded(finding.Message), StringComparison.Ordinal);
        Assert.DoesNotContain("Hz", finding.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Find_EvenComb_IsNotTakenForHum()
    {
        // Ten even lines over a sweep of 0.2 s pass at 50 a second, as mains does: but they repeat with the sweep.
        Bench bench = new() { Sweeps = 12, Signal = x => 1_000 + (600 * Math.Sin(2 * Math.PI * 10 * x)) };

        Assert.DoesNotContain(Inspection.Find(bench.Look()), f => f.Name == FindingName.VerticalHum);
    }

    [Fact]
    public void Find_StaircaseWithoutNoise_StepsAreMeasured()
    {
        // 3 700 codes in 200 steps are 18.5 codes each.
        Bench bench = new() { Course = x => Math.Floor(x * 200) / 200, RampNoise = 0.5 };

        Assert.Contains("steps of 18.5 codes", Named(FindingName.RampStaircase, bench.Look()).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Find_StairsOverWholeColumns_AreNotCuredByMoreScans()
    {
        // 3 700 codes in 100 steps are 37 codes each, ten columns; 40 scans to a column are enough.
        InspectionFacts facts = new Bench { Course = x => Math.Floor(x * 100) / 100, SweepScans = 40_000, Sweeps = 4 }.Look();

        Finding unfilled = Named(FindingName.ColumnsWithoutScans, facts);
        Assert.DoesNotContain("--columns", unfilled.Cure, StringComparison.Ordinal);
        Assert.Contains("jumps over", unfilled.Cure, StringComparison.Ordinal);
        Assert.Matches("--columns (99|100) at most", Named(FindingName.RampStaircase, facts).Cure);
    }

    [Fact]
    public void Find_ColumnsThatTheBlankingHides_AreNotBlamedOnTheRamp()
    {
        Finding unfilled = Named(FindingName.ColumnsWithoutScans, FindingRaisers.BlankedOnItsWay());

        Assert.Contains("blanking line hides", unfilled.Cure, StringComparison.Ordinal);
        Assert.DoesNotContain("jumps over", unfilled.Cure, StringComparison.Ordinal);
    }

    [Fact]
    public void Find_EdgesThatTheRampDoesNotReach_SaysSoOfItsSweeps()
    {
        Bench bench = new();
        InspectionFacts facts = bench.Look(bench.Setup with { Sweep = new SweepOptions { Edges = new SweepEdges(200, 4_090) } });

        string message = Named(FindingName.NoCompleteSweep, facts).Message;
        Assert.Contains("6 flew back short of an edge", message, StringComparison.Ordinal);
        Assert.DoesNotContain("no beginning", message, StringComparison.Ordinal);
    }

    [Fact]
    public void Find_RampAsStraightBackAsForth_AsksWhichWayItDraws()
    {
        // It rests at both ends, so that no turn tells the ways apart.
        Bench bench = new() { Course = x => Math.Min(1, x / 0.9), RetraceScans = 3_600 };

        Assert.Contains("--direction both", Named(FindingName.NoCompleteSweep, bench.Look()).Cure, StringComparison.Ordinal);
        Setup both = bench.Setup with { Sweep = new SweepOptions { Direction = RampDirection.Both } };
        Assert.DoesNotContain(Inspection.Find(bench.Look(both)), f => f.Severity == FindingSeverity.Error);
    }

    [Theory]
    [InlineData(200, 3_900, RampDirection.Falling, "--direction rising")]
    [InlineData(3_900, 200, RampDirection.Rising, "--direction falling")]
    public void Find_DirectionGivenTheOtherWayRound_SaysWhichItIs(double low, double high, RampDirection given, string cure)
    {
        // So few scans are no sweep.
        Bench bench = new() { RampLow = low, RampHigh = high, RetraceScans = 3, RestScans = 0 };

        IReadOnlyList<Finding> findings = Inspection.Find(bench.Look(bench.Setup with { Sweep = new SweepOptions { Direction = given } }));

        Finding doubt = Assert.Single(findings, f => f.Name == FindingName.DirectionDoubtful);
        Assert.Equal(FindingSeverity.Error, doubt.Severity);
        Assert.Contains(cure, doubt.Cure, StringComparison.Ordinal);
        // 4,000 scans at 20,000 a second, of which the survey leaves out an eighth of the way at most.
        Assert.InRange(double.Parse(Regex.Match(doubt.Message, @"straight in ([\d.]+) ms").Groups[1].Value, CultureInfo.InvariantCulture), 175, 200);
        Assert.Equal("See what is said of the direction.", Assert.Single(findings, f => f.Name == FindingName.NoCompleteSweep).Cure);
    }

    // Retraces that take half as long as the sweep are straight enough for sweeps of their own.
    [Fact]
    public void Find_RetracesDrawnAsSweeps_AreDoubted()
    {
        Bench bench = new() { Sweeps = 10, SweepScans = 4_000, RetraceScans = 2_000, RampLow = 3_900, RampHigh = 200 };
        InspectionFacts facts = bench.Look(bench.Setup with { Sweep = new SweepOptions { Direction = RampDirection.Rising } });
        Assert.True(facts.Sweeps.Complete > 0);

        Assert.Equal(FindingSeverity.Warning, Named(FindingName.DirectionDoubtful, facts).Severity);
    }

    [Fact]
    public void Find_RetracesDrawnAsBothWayRound_AreDoubted()
    {
        Bench bench = new() { Sweeps = 10, RetraceScans = 1_000 };

        Assert.Contains("--direction rising", Named(FindingName.DirectionDoubtful, bench.Look(bench.Setup with { Sweep = new SweepOptions { Direction = RampDirection.Both } })).Cure, StringComparison.Ordinal);
    }

    // Drawn both ways, twice as fast the one way; drawn one way of two alike; rests of twice the sweep, which no leg is longer for; one sweep, cut at both ends.
    [Theory]
    [InlineData(RampDirection.Both, 4_000, 2_000, 300, 10)]
    [InlineData(RampDirection.Rising, 4_000, 4_000, 0, 10)]
    [InlineData(RampDirection.Rising, 4_000, 200, 8_000, 10)]
    [InlineData(RampDirection.Rising, 4_000, 2_800, 20, 1)]
    [InlineData(RampDirection.Auto, 4_000, 200, 300, 6)]
    public void Find_DirectionThatMayBe_IsNotDoubted(RampDirection given, int sweep, int retrace, int rest, int sweeps)
    {
        Bench bench = new() { Sweeps = sweeps, SweepScans = sweep, RetraceScans = retrace, RestScans = rest };

        IReadOnlyList<Finding> findings = Inspection.Find(bench.Look(bench.Setup with { Sweep = new SweepOptions { Direction = given } }));

        Assert.DoesNotContain(findings, f => f.Name == FindingName.DirectionDoubtful);
    }

    // A fifth of the screen within one scan, in the same place of every sweep: six whole ones are there, and one more would not help.
    [Fact]
    public void Find_RampThatJumpsOnItsWay_IsNotAskedForAWholeSweep()
    {
        Bench bench = new() { Sweeps = 6, Course = x => (0.8 * x) + (x >= 0.5 ? 0.2 : 0) };

        string cure = Named(FindingName.NoCompleteSweep, bench.Look()).Cure;

        Assert.Contains("not straight enough", cure, StringComparison.Ordinal);
        Assert.Contains("--mode manual", cure, StringComparison.Ordinal);
    }

    [Fact]
    public void Find_SweepCutByTheEnd_AsksForAWholeOne()
    {
        Bench bench = new() { Sweeps = 1, FlyBackAt = _ => 0.7, RestScans = 0, RetraceScans = 0 };

        Assert.StartsWith("Record at least one whole sweep", Named(FindingName.NoCompleteSweep, bench.Look()).Cure, StringComparison.Ordinal);
    }

    [Fact]
    public void Find_NoSweepBetweenGaps_BlamesTheGaps()
    {
        Bench bench = new() { Gaps = [.. Enumerable.Range(1, 2_270).Select(i => (12L * i, (long?)1))] };

        IReadOnlyList<Finding> findings = Inspection.Find(bench.Look());

        string cure = Assert.Single(findings, f => f.Name == FindingName.NoCompleteSweep).Cure;
        Assert.StartsWith("Mend the losses first", cure, StringComparison.Ordinal);
    }

    [Fact]
    public void Find_SignedCodesTakenForUnsigned_SaysWhatTheChannelIsAndNoDirection()
    {
        // A ramp through 0 V in two's complement: its lower half lies at the upper end of the codes.
        Bench bench = new() { RampLow = 0, RampHigh = 4_095, Change = words => { for (int i = 0; i < words.Length; i += 2) words[i] = (ushort)((words[i] / 4) - 512 & 4_095); } };

        IReadOnlyList<Finding> findings = Inspection.Find(bench.Look());

        Assert.Contains("--ramp-channel", Assert.Single(findings, f => f.Name == FindingName.NoCompleteSweep).Cure, StringComparison.Ordinal);
        Assert.DoesNotContain(findings, f => f.Name == FindingName.RampFalls && f.Count == 0);
    }

    [Fact]
    public void Find_BreakOfNoKnownCause_ThinksOfAFileWhoseIndexGoesBack()
    {
        InspectionFacts facts = FindingRaisers.Look(FindingName.Breaks) with { Gaps = [new GapRow(7_000, null, GapCause.Unknown)] };

        Assert.Contains("index goes back", Named(FindingName.Breaks, facts).Cure, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(FindingName.ChannelsSwapped)]
    [InlineData(FindingName.RampFollowsVertical)]
    [InlineData(FindingName.RampIsHum)]
    public void Find_ChannelThatIsNoRamp_ItsSizeAndNoiseAreNoFindings(string name) =>
        Assert.DoesNotContain(Inspection.Find(FindingRaisers.Look(name)), f => f.Name is FindingName.RampTooSmall or FindingName.RampNoisy);

    [Theory]
    [InlineData(0.1)]
    [InlineData(0.4)]
    public void Find_SlowRampWithoutNoise_ConverterStepsAreNoRipple(double noise) =>
        Assert.DoesNotContain(Inspection.Find((new Bench() with { RampNoise = noise, SweepScans = 30_000, Sweeps = 3 }).Look()),
            f => f.Name is FindingName.RampRipple or FindingName.RampStaircase);

    private static Finding Named(string name, InspectionFacts facts)
    {
        IReadOnlyList<Finding> findings = Inspection.Find(facts);
        return Assert.Single(findings, f => f.Name == name);
    }

    // Measured values to two digits: 19.97 becomes 20.
    private static string Rounded(string message) => Regex.Replace(message, @"\d+\.\d+",
        m => double.Parse(m.Value, CultureInfo.InvariantCulture) is var v && v >= 10 ? Math.Round(v).ToString(CultureInfo.InvariantCulture) : Math.Round(v, 1).ToString(CultureInfo.InvariantCulture));
}
