using Acquire.Harness.Inspect;
using Acquire.Harness.Inspect.Findings;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>What is said of sweeps that are missing, cut or placed elsewhere, and of why.</summary>
public sealed class SweepFindingTests
{
    // The ramp's contact is bad in the first tenth of one sweep of twelve: that one is missed, and its room is hardly longer than a sweep.
    [Fact]
    public void Find_OneSweepMissedOfABeat_IsSaid()
    {
        Bench bench = new() { Sweeps = 12, Change = words => Hold(words, from: (5 * 4_500) + 420, scans: 400) };

        InspectionFacts facts = bench.Look();

        Assert.Equal(11, facts.Sweeps.Count);
        Finding pause = Assert.Single(Inspection.Find(facts), f => f.Name == FindingName.SweepsPause);
        Assert.Equal(1, pause.Count);
        Assert.InRange(pause.AtScan, (4 * 4_500) + 4_280, (4 * 4_500) + 4_320);
    }

    // Sweeps ten times as slow that rest ten times as long: nothing was missed between them.
    [Fact]
    public void Find_SlowSweepsThatRestLong_DoNotPause()
    {
        Bench bench = new() { Sweeps = 14, SweepScans = 2_000, Stretch = sweep => sweep >= 9 ? 20 : 1, RestAfter = sweep => sweep >= 9 ? 6_000 : 300 };

        InspectionFacts facts = bench.Look();

        Assert.Equal(14, facts.Sweeps.Complete);
        Assert.DoesNotContain(Inspection.Find(facts), f => f.Name == FindingName.SweepsPause);
    }

    [Fact]
    public void Find_SweepsWithinALoss_DoNotPause()
    {
        Bench bench = new() { Sweeps = 8, Gaps = [(9_100, 3 * 4_500)] };

        Assert.Equal([FindingName.Gaps], Inspection.Find(bench.Look()).Select(f => f.Name));
    }

    // A knob moves the ramp down by 300 codes: it is learnt anew, and lies elsewhere from then on.
    [Fact]
    public void Find_RampLearntAnewElsewhere_ItsEdgesMoved()
    {
        InspectionFacts facts = new Bench { Sweeps = 16, RampLow = 500, OnRamp = scan => scan > (9 * 4_500) + 100 ? -300 : 0 }.Look();

        Finding moved = Assert.Single(Inspection.Find(facts), f => f.Name == FindingName.AxisMoved);
        Assert.InRange(moved.AtScan, 9 * 4_500, 14 * 4_500);
    }

    // The edges move with the last sweep's end only, the third beside the old ones.
    [Fact]
    public void Find_EdgesThatMovedAtTheEnd_AreNotSaidToMoveAtTheBegin()
    {
        InspectionFacts facts = new Bench { Sweeps = 13, OnRamp = scan => scan > 10 * 4_500 ? 60 : 0 }.Look();

        Finding moved = Assert.Single(Inspection.Find(facts), f => f.Name == FindingName.AxisMoved);
        Assert.InRange(moved.AtScan, 10 * 4_500, 13 * 4_500);
    }

    [Fact]
    public void Find_RampBelowATenth_IsNotSaidToJump()
    {
        InspectionFacts facts = new Bench { RampLow = 100, RampHigh = 400, RampNoise = 0.5 }.Look();

        Finding none = Assert.Single(Inspection.Find(facts), f => f.Name == FindingName.NoCompleteSweep);
        Assert.Contains("size", none.Cure, StringComparison.Ordinal);
    }

    // 700 scans in each fast sweep, 2 333 on average of all: two scans a column of each are had with 350 columns.
    [Fact]
    public void Find_FastSweepsAmongSlowOnes_CureCountsTheirScans()
    {
        InspectionFacts facts = new Bench { Sweeps = 12, SweepScans = 700, Stretch = sweep => sweep < 4 ? 8 : 1 }.Look();

        Finding unfilled = Assert.Single(Inspection.Find(facts), f => f.Name == FindingName.ColumnsWithoutScans);
        Assert.Matches("--columns 3(49|50)", unfilled.Cure);
    }

    // A flyback rings: a twelfth of the way down, up and down again.
    [Fact]
    public void Find_FlybackThatRings_IsNamedAndNoSweepAborts()
    {
        InspectionFacts facts = FindingRaisers.Look(FindingName.FlybackRings);

        Finding rings = Assert.Single(Inspection.Find(facts), f => f.Name == FindingName.FlybackRings);
        Assert.InRange(rings.Count, 8, 24);
        Assert.DoesNotContain(Inspection.Find(facts), f => f.Name is FindingName.SweepsAborted or FindingName.AxisMoved);
        Assert.Equal(8, facts.Sweeps.Complete);
    }

    // The same swings, and the ramp begins so low that the first of them, down by 210 codes, comes below code 0 and stays there for some thirty scans.
    [Theory]
    [InlineData(100, 3_500)]
    [InlineData(3_995, 600)]
    public void Find_FlybackAloneBeyondTheRail_IsNoClippedRamp(double low, double high)
    {
        Bench bench = new() { Sweeps = 8, RampLow = low, RampHigh = high, RestScans = 600 };

        InspectionFacts facts = (bench with { OnRamp = scan => Math.Sign(high - low) * FindingRaisers.Swing(((scan - 600) % 4_800) - 4_200) }).Look();

        Assert.Equal(8, facts.Sweeps.Complete);
        Assert.True(facts.RampChannel.LowRail.ScansInStays + facts.RampChannel.HighRail.ScansInStays > 100);
        Assert.DoesNotContain(Inspection.Find(facts), f => f.Name == FindingName.RampClipped);
        Assert.Contains(Inspection.Find(facts), f => f.Name == FindingName.FlybackRings);
    }

    // It rings beyond the rail and is clipped at its end besides: of the two rails the sweeps reach one.
    [Fact]
    public void Find_FlybackBeyondOneRailAndSweepsAtTheOther_NamesThatOne()
    {
        Bench bench = new() { Sweeps = 8, RampLow = 100, RampHigh = 4_400, RestScans = 600 };

        InspectionFacts facts = (bench with { OnRamp = scan => FindingRaisers.Swing(((scan - 600) % 4_800) - 4_200) }).Look();

        Finding clipped = Assert.Single(Inspection.Find(facts), f => f.Name == FindingName.RampClipped);
        Assert.Contains("full code 4,095", clipped.Message, StringComparison.Ordinal);
        Assert.DoesNotContain("code 0", clipped.Message, StringComparison.Ordinal);
    }

    // Behind a flyback it rises by a twelfth of the way and jumps back, once.
    [Fact]
    public void Find_FlybackThatComesTwice_IsNoKey()
    {
        Bench bench = new() { Sweeps = 8, RampLow = 600, RestScans = 600 };

        InspectionFacts facts = (bench with { OnRamp = scan => ((scan - 600) % 4_800) - 4_250 is >= 0 and < 150 and long behind ? 2 * behind : 0 }).Look();

        Finding aborted = Assert.Single(Inspection.Find(facts), f => f.Name == FindingName.SweepsAborted);
        Assert.Contains("rings", aborted.Cure, StringComparison.Ordinal);
        Assert.Contains("A key", Assert.Single(Inspection.Find(FindingRaisers.Look(FindingName.SweepsAborted)), f => f.Name == FindingName.SweepsAborted).Cure, StringComparison.Ordinal);
    }

    private static void Hold(ushort[] words, int from, int scans)
    {
        for (int i = 2 * from; i < 2 * (from + scans); i += 2) words[i] = 2_048;
    }
}
