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

    // As many histories long as a sweep of 3 * 10^7, 10^8 and 10^9 scans is of the usual history.
    [Theory]
    [InlineData(30, true, false, 0)]
    [InlineData(30, false, true, 0)]
    [InlineData(30, false, true, 100)]
    [InlineData(100, true, true, 0)]
    [InlineData(100, true, true, 80.4)]
    [InlineData(100, false, false, 0)]
    [InlineData(1_000, true, false, 0)]
    [InlineData(1_000, false, true, 0)]
    public void Process_SweepOfManyHistories_StartsWhereItStartsAndLosesNoScan(int histories, bool learns, bool falling, double delayScans)
    {
        const int History = 1 << 12, Full = 4_095;
        double length = (double)histories * History;
        SyntheticOptions options = new()
        {
            Sweeps = histories < 500 ? 3 : 2,
            Ramp = new RampModel { Kind = falling ? RampKind.Falling : RampKind.Rising, Low = 0.1, High = 0.85, NoiseCodes = 0.7 },
            Sweep = new SweepTiming { SweepScans = length, RetraceScans = length / 20, RestScans = length / 10, Begin = BeginPhase.Rest },
            Verticals = [new VerticalModel { CodeFunction = (fraction, _, _) => fraction * Columns * 40, FlybackShare = 0, DelayScans = delayScans }],
        };
        ScanStream stream = ScanStream.Of(options);
        SweepRecord record = new();

        SweepEngine engine = stream.FeedAll(Engines.For(options, learns, History, Columns, Placement.Fitted, record));

        double slope = 0.75 * Full / length, noise = 3 * 0.7 / Math.Sqrt(0.01 * length) / slope;
        double limit = Math.Max(Math.Max(2, 0.001 * length), noise) + 1;
        Assert.Equal(stream.Truth!.Sweeps.Count, record.Sweeps.Count);
        for (int i = 0; i < record.Sweeps.Count; i++)
        {
            SweepRecord.Kept sweep = record.Sweeps[i];
            TrueSweep truth = stream.Truth.Sweeps[i];
            Assert.InRange(sweep.Info.StartScan, truth.StartScan - limit, truth.StartScan + limit);
            Assert.InRange(sweep.Info.EndScan, truth.EndScan - limit, truth.EndScan + limit);
            Assert.Equal(Acquire.Sweeps.SweepStart.Ramp, sweep.Info.StartReason);
            Assert.True(sweep.Info.ScansInColumns > 0.998 * length, $"Sweep {i} has {sweep.Info.ScansInColumns} scans in its columns.");
            for (int c = 0; c < Columns; c++)
            {
                double mean = (double)sweep.Verticals[0].CodeSums[c] / sweep.Verticals[0].Counts[c];
                // A fifth of a column.
                Assert.InRange(mean, ((c + 0.5) * 40) - 8, ((c + 0.5) * 40) + 8);
            }
        }

        Accounting where = engine.Accounting;
        Assert.Equal(stream.Scans, where.InColumns + where.Overscan + where.Retrace + where.Rest + where.Blanked + where.Unassigned);
        Assert.Equal(0, where.Unassigned);
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
