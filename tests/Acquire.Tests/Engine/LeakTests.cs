using Acquire.Columns;
using Acquire.Sources.Synthetic;

namespace Acquire.Tests.Engine;

/// <summary>No scan of a retrace or rest reaches a column.</summary>
public class LeakTests
{
    private const int Full = 4_095, Positions = 65_000;

    public static TheoryData<BenchKind> Kinds => [.. BenchKinds.WithRamp];

    // In sweeps the vertical carries code 0, in retrace and rest the full code, so the sum of a column counts the flagged scans in it.
    [Theory]
    [MemberData(nameof(Kinds))]
    public void Columns_EveryKind_HoldNoScanOfRetraceOrRest(BenchKind kind)
    {
        int sweeps = 0;
        List<string> leaks = [];
        foreach (ulong seed in Seeds.Of(2))
        {
            SyntheticOptions options = BenchKinds.Draw(kind, seed);
            options = options with
            {
                Verticals = [new VerticalModel { CodeFunction = (_, _, _) => 0, FlybackShare = 1 }],
                Scans = Math.Min(options.Scans ?? long.MaxValue, 250_000),
            };
            ScanStream stream = ScanStream.Of(options);
            bool learns = seed % 2 == 0;
            var record = new SweepRecord();
            stream.FeedAll(Engines.For(options, learns, Engines.HistoryFor(stream), 100, learns ? Placement.Fitted : Placement.Direct, record));
            foreach (SweepRecord.Kept sweep in record.Sweeps)
            {
                sweeps++;
                long allowed = ScansAllowed(options, sweep.Info.EndScan - sweep.Info.StartScan), flagged = FlaggedIn(sweep.Verticals[0]);
                string where = $"{kind}, seed {seed}, sweep {sweep.Info.Number} ({sweep.Info.StartScan} to {sweep.Info.EndScan}, {sweep.Info.StartReason}, {sweep.Info.EndReason})";
                int inside = 0;
                for (long scan = sweep.Info.StartScan + allowed; scan < sweep.Info.EndScan - allowed; scan++)
                    if (IsFlagged(stream, scan) && !IsAtRail(stream, scan)) inside++;
                if (inside > 0 || flagged > (2 * allowed) + AtRails(stream, sweep))
                    leaks.Add($"{where}: {flagged} in columns, {inside} of them more than {allowed} from either end");
            }
        }

        Assert.True(sweeps > 0);
        Assert.True(leaks.Count <= sweeps * ShareLeaking(kind), $"{leaks.Count} of {sweeps} sweeps hold scans of retrace or rest: {string.Join("; ", leaks.Take(5))}");
    }

    // Over many seeds: hum as slow as the sweep looks like the ramp, a coupling capacitor like a rest that moves, a rest beside the ramp's
    // start like the ramp. With the seeds of the default run none may leak.
    private static double ShareLeaking(BenchKind kind) => kind switch
    {
        BenchKind.Hum => 0.08,
        BenchKind.Droop or BenchKind.RestAnywhere or BenchKind.Noise => 0.015,
        _ => 0.005,
    };

    // The vertical carries its own position, so that what a column holds says where it came from.
    [Theory]
    [InlineData(BenchKind.Rising)]
    [InlineData(BenchKind.Falling)]
    [InlineData(BenchKind.BothWays)]
    [InlineData(BenchKind.Noise)]
    [InlineData(BenchKind.Fast)]
    [InlineData(BenchKind.Aborts)]
    [InlineData(BenchKind.NoRest)]
    [InlineData(BenchKind.Spikes)]
    public void Columns_FittedAndLearnt_HoldOnlyScansOfTheirSweep(BenchKind kind)
    {
        foreach (ulong seed in Seeds.Of(2))
        {
            SyntheticOptions options = BenchKinds.Draw(kind, seed) with { Bits = 16, Verticals = [new VerticalModel { CodeFunction = (_, _, position) => position % Positions }] };
            ScanStream stream = ScanStream.Of(options);
            var record = new SweepRecord();
            stream.FeedAll(Engines.For(options, learns: true, Engines.HistoryFor(stream), 64, Placement.Fitted, record));

            Assert.NotEmpty(record.Sweeps);
            foreach (SweepRecord.Kept sweep in record.Sweeps)
            {
                ColumnStatistics columns = sweep.Verticals[0];
                long length = sweep.Info.EndScan - sweep.Info.StartScan;
                Assert.True(length < Positions);
                Assert.Equal(sweep.Info.ScansInColumns, columns.Counts.ToArray().Sum());
                Assert.True(sweep.Info.ScansInColumns <= length);
                for (int c = 0; c < columns.ColumnCount; c++)
                {
                    if (columns.Counts[c] == 0) continue;
                    foreach (int code in (int[])[columns.HighestCodes[c], columns.LowestCodes[c], columns.LastCodes[c]])
                    {
                        long after = ((code - sweep.Info.StartScan) % Positions + Positions) % Positions;
                        Assert.True(after < length, $"{kind}, seed {seed}, sweep {sweep.Info.Number}: column {c} holds a scan {after} after the start of {length}.");
                    }
                }
            }
        }
    }

    /// <summary>Scans by which an end may be off: 2, or 0.1 % of the sweep, or what noise and hum hide, and one since a turn lies between two scans.</summary>
    /// <remarks>Noise: 6 deviations of the mean of 1 % of a sweep's scans. Hum: the ramp stands still or runs back within its two amplitudes, and a line through part of a period overshoots by half. A staircase: nobody sees where its first step begins.</remarks>
    private static long ScansAllowed(SyntheticOptions options, long found)
    {
        // Sweep times may change from sweep to sweep.
        double length = options.Sweep.SweepFactors.Count > 0 ? found : options.Sweep.SweepScans, slope = (options.Ramp.High - options.Ramp.Low) * Full / length;
        double noise = 6 * options.Ramp.NoiseCodes / Math.Sqrt(Math.Max(1, 0.01 * length)) / slope;
        double hum = 3 * (options.Ramp.Hum?.AmplitudeCodes ?? 0) / slope;
        double step = options.Ramp.Steps > 0 ? length / options.Ramp.Steps : 0;
        return 1 + (long)Math.Ceiling(Math.Max(Math.Max(2, 0.001 * length), noise + hum) + step);
    }

    private static long FlaggedIn(ColumnStatistics columns)
    {
        long flagged = 0;
        for (int c = 0; c < columns.ColumnCount; c++)
            if (columns.Counts[c] > 0) flagged += columns.CodeSums[c] / Full;
        return flagged;
    }

    /// <summary>Flagged scans on which the ramp stands at a rail: there nobody sees whether it moves.</summary>
    private static long AtRails(ScanStream stream, SweepRecord.Kept sweep)
    {
        long count = 0;
        for (long scan = sweep.Info.StartScan; scan < sweep.Info.EndScan; scan++)
            if (IsFlagged(stream, scan) && IsAtRail(stream, scan)) count++;
        return count;
    }

    private static bool IsFlagged(ScanStream stream, long scan) => stream[scan, stream.Format.VerticalChannels[0]] == Full;

    private static bool IsAtRail(ScanStream stream, long scan) => stream[scan, stream.Format.RampChannel] is 0 or Full;
}
