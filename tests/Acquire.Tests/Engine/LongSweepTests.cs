using Acquire.Columns;
using Acquire.Sources.Synthetic;

namespace Acquire.Tests.Engine;

/// <summary>A sweep longer than the history is as right as one that fits.</summary>
public class LongSweepTests
{
    private const int Columns = 100, SweepScans = 150_000, SmallHistory = 1 << 16;

    [Theory]
    [InlineData(true, Placement.Direct)]
    [InlineData(true, Placement.Fitted)]
    [InlineData(false, Placement.Direct)]
    [InlineData(false, Placement.Fitted)]
    public void Process_SweepLongerThanTheHistory_GivesTheColumnsOfALargeHistory(bool learns, Placement placement)
    {
        SyntheticOptions options = Bench();
        ScanStream stream = ScanStream.Of(options);
        SweepRecord small = new(), large = new();

        SweepEngine engine = stream.FeedAll(Engines.For(options, learns, SmallHistory, Columns, placement, small));
        stream.FeedAll(Engines.For(options, learns, Engines.HistoryFor(stream), Columns, placement, large));

        Assert.Equal(3, large.Sweeps.Count);
        Assert.Equal(large.Sweeps.Count, small.Sweeps.Count);
        for (int i = 0; i < large.Sweeps.Count; i++)
        {
            SweepRecord.Kept a = small.Sweeps[i], b = large.Sweeps[i];
            // 0.1 % of the sweep, as everywhere.
            Assert.InRange(a.Info.StartScan, b.Info.StartScan - (SweepScans / 1_000), b.Info.StartScan + (SweepScans / 1_000));
            Assert.InRange(a.Info.EndScan, b.Info.EndScan - (SweepScans / 1_000), b.Info.EndScan + (SweepScans / 1_000));
            Assert.Equal((b.Info.Complete, b.Info.EndReason), (a.Info.Complete, a.Info.EndReason));
            for (int c = 0; c < Columns; c++)
            {
                // The vertical rises by 40 codes a column, so its mean says where the scans of a column lie.
                Assert.True(a.Verticals[0].Counts[c] > 0, $"Column {c} of sweep {i} is unfilled.");
                double mean = (double)a.Verticals[0].CodeSums[c] / a.Verticals[0].Counts[c], expected = (double)b.Verticals[0].CodeSums[c] / b.Verticals[0].Counts[c];
                Assert.InRange(mean, expected - 40, expected + 40);
                Assert.InRange(mean, ((c + 0.5) * 40) - 40, ((c + 0.5) * 40) + 40);
            }
        }

        Assert.InRange(engine.Accounting.Unassigned, 0, SmallHistory);
    }

    private static SyntheticOptions Bench() => new()
    {
        // The rest at the begin counts as the first.
        Sweeps = 4,
        Ramp = new RampModel { Low = 0.1, High = 0.85, NoiseCodes = 0.7 },
        Sweep = new SweepTiming { SweepScans = SweepScans, RetraceScans = 5_000, RestScans = 9_000, Begin = BeginPhase.Rest },
        Verticals = [new VerticalModel { CodeFunction = (fraction, _, _) => fraction * Columns * 40 }],
    };
}
