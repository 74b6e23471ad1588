using Acquire.Harness.Inspect;
using Acquire.Harness.Inspect.Findings;
using Acquire.Harness.Inspect.Spectra;
using Acquire.Sources.Synthetic;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>Findings against benches that know the truth and that were drawn by somebody else.</summary>
public sealed class SyntheticBenchTests
{
    // What a drawn bench without a fault may have: few scans a sweep, a falling ramp, and it is not blanked in the retrace.
    private static readonly HashSet<string> Harmless =
    [
        FindingName.ColumnsWithoutScans, FindingName.FewScansPerColumn, FindingName.RampFalls, FindingName.VerticalFollowsFlyback,
    ];

    [Theory]
    [InlineData(BenchKind.Rising)]
    [InlineData(BenchKind.Falling)]
    [InlineData(BenchKind.NoRest)]
    [InlineData(BenchKind.HalfSweepRetrace)]
    [InlineData(BenchKind.BlankingChannel)]
    public void Find_BenchWithoutFault_ClaimsNone(BenchKind kind) =>
        Assert.All(Seeds(4), seed => Assert.Subset(Harmless, Find(kind, seed).Select(f => f.Name).ToHashSet()));

    [Theory]
    [InlineData(BenchKind.Constant, FindingName.RampAbsent)]
    [InlineData(BenchKind.WhiteNoise, FindingName.RampAbsent)]
    [InlineData(BenchKind.Floating, FindingName.RampFollowsVertical)]
    [InlineData(BenchKind.Spikes, FindingName.RampSpikes)]
    [InlineData(BenchKind.Clipped, FindingName.RampClipped)]
    [InlineData(BenchKind.Fifth, FindingName.RampTooSmall)]
    [InlineData(BenchKind.Gaps, FindingName.Gaps)]
    [InlineData(BenchKind.Breaks, FindingName.Breaks)]
    public void Find_BenchWithAFault_NamesItOnEverySeed(BenchKind kind, string name) =>
        Assert.All(Seeds(4), seed => Assert.Contains(Find(kind, seed), f => f.Name == name));

    [Theory]
    [InlineData(BenchKind.Kink)]
    [InlineData(BenchKind.Pause)]
    [InlineData(BenchKind.LongRest)]
    [InlineData(BenchKind.RandomWalk)]
    [InlineData(BenchKind.Mains)]
    [InlineData(BenchKind.BeginsInside)]
    public void Find_OddRampOrNone_NeverSuggestsAHandOrSwappedChannels(BenchKind kind) =>
        Assert.All(Seeds(4), seed => Assert.DoesNotContain(Find(kind, seed),
            f => f.Name is FindingName.ManualSuggested or FindingName.ChannelsSwapped or FindingName.RampRipple or FindingName.RampDroops));

    [Fact]
    public void Look_HumOnTheRamp_AmplitudeAndFrequencyAreTheTruth()
    {
        int seen = 0;
        foreach (ulong seed in Seeds(8))
        {
            SyntheticOptions options = BenchKinds.Draw(BenchKind.Hum, seed);
            InspectionFacts facts = Look(options);
            if (!Inspection.Find(facts).Any(f => f.Name == FindingName.RampRipple)) continue;
            SpectralLine line = facts.Close!.RampLines[0];
            seen++;

            Assert.InRange(line.CyclesPerScan * options.ScanRateHz, 0.99 * options.Ramp.Hum!.FrequencyHz, 1.01 * options.Ramp.Hum.FrequencyHz);
            Assert.InRange(line.Amplitude, 0.95 * options.Ramp.Hum.AmplitudeCodes, 1.05 * options.Ramp.Hum.AmplitudeCodes);
        }

        // In the others there are fewer than five cycles in a sweep, or less than a quarter of a column.
        Assert.InRange(seen, 4, 8);
    }

    [Fact]
    public void Find_CouplingCapacitor_TimeConstantIsTheTruth()
    {
        SyntheticOptions options = BenchKinds.Draw(BenchKind.Droop, 6);

        Finding finding = Assert.Single(Inspection.Find(Look(options)), f => f.Name == FindingName.RampDroops);

        // A corner of f hertz is a time constant of 1 / (2 pi f): 269 ms here.
        Assert.Equal(0.269, 1 / (2 * Math.PI * options.Ramp.CouplingHz!.Value), 0.001);
        Assert.Matches(@"time constant of about 2[67]\d(\.\d)? ms", finding.Message);
    }

    [Fact]
    public void Look_AnyKind_EveryScanIsCountedOnce()
    {
        foreach (BenchKind kind in Enum.GetValues<BenchKind>().Where(k => k != BenchKind.Slow))
        {
            InspectionFacts facts = Look(BenchKinds.Draw(kind, 1));
            Accounting a = facts.Accounting;
            Assert.Equal(a.Scans, a.InColumns + a.Overscan + a.Retrace + a.Rest + a.Blanked + a.Unassigned);
            Assert.Equal(facts.Scans, a.Scans);
        }
    }

    private static IEnumerable<ulong> Seeds(int count) => Enumerable.Range(1, count).Select(i => (ulong)i);

    private static IReadOnlyList<Finding> Find(BenchKind kind, ulong seed) => Inspection.Find(Look(BenchKinds.Draw(kind, seed)));

    private static InspectionFacts Look(SyntheticOptions options) =>
        Inspection.Look(new SyntheticWalk(options), new RecordingFacts { Name = "bench" }, new Setup { Scan = options.Format }, CancellationToken.None);
}
