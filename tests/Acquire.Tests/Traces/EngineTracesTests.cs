using Acquire.Columns;
using Acquire.Scales;
using Acquire.Tests.Doubles;
using Acquire.Traces;

namespace Acquire.Tests.Traces;

/// <summary>What the engine gives to trace work: marks, sections and snapshots.</summary>
public class EngineTracesTests
{
    private const int SweepScans = 1_000, RetraceScans = 100;

    private static readonly Setup Bench = new()
    {
        Columns = new ColumnOptions { ColumnCount = 50, Placement = Placement.Direct },
        Sweep = new() { Edges = new(100, 4_000) },
    };

    /// <summary>Sweeps from code 50 to 4050 whose vertical carries 100 times the number of the sweep.</summary>
    private static ushort[] Scans(int sweeps)
    {
        List<ushort> words = [];
        for (int sweep = 0; sweep < sweeps; sweep++)
        {
            for (int i = 0; i < SweepScans; i++) words.AddRange([(ushort)(50 + (4 * i)), (ushort)(100 * sweep)]);
            for (int i = 0; i < RetraceScans; i++) words.AddRange([(ushort)(4_050 - (40 * i)), 4_095]);
        }

        return [.. words];
    }

    private sealed class Keep(Action<SweepTaking> taken, TraceAverage average, PeakHold hold) : ISweepSink
    {
        public void SweepEnded(in SweepView sweep)
        {
            taken(average.Take(sweep.Info, sweep.Verticals[0], sweep.Marks));
            hold.Take(sweep.Info, sweep.Verticals[0], sweep.Marks);
        }
    }

    [Fact]
    public void SweepEnded_SuspectScansAndAMark_KeepColumnsOutAndStartAnew()
    {
        var values = new ColumnValues(new VerticalConverter(new VerticalScale(), 4_095));
        var average = new TraceAverage(values, 50, new(Detector.Average), AveragingMode.Running, 10);
        var hold = new PeakHold(values, 50);
        List<SweepTaking> takings = [];
        var engine = new SweepEngine(Bench, new Keep(takings.Add, average, hold));
        ushort[] scans = Scans(8);
        int half = 2 * (SweepScans + RetraceScans);

        engine.Process(scans.AsSpan(0, 3 * half));
        engine.Process(scans.AsSpan(3 * half, 1_000), suspect: true);
        engine.Process(scans.AsSpan((3 * half) + 1_000, half));
        Assert.DoesNotContain(SweepTaking.Suspect, takings);
        Assert.Contains(average.Counts.ToArray(), c => c == average.SweepsTaken - 1);
        Assert.Contains(average.Counts.ToArray(), c => c == average.SweepsTaken);
        // Nothing of a retrace reached a column.
        Assert.All(hold.Highest.ToArray(), h => Assert.True(h <= 700, $"{h}"));

        engine.Mark((3 * (half / 2)) + 500 + (half / 2), word: 9);
        engine.Process(scans.AsSpan((4 * half) + 1_000));
        engine.Complete();
        Assert.Contains(SweepTaking.StartedAnew, takings);
        Assert.Equal(takings.Count - takings.IndexOf(SweepTaking.StartedAnew), average.SweepsTaken);
    }

    [Fact]
    public void ShareSnapshots_WhileTheEngineRuns_HandsOutTheStateOfEachCall()
    {
        var values = new ColumnValues(new VerticalConverter(new VerticalScale(), 4_095));
        var engine = new SweepEngine(
            Bench, new Keep(_ => { }, new TraceAverage(values, 50, new(Detector.Average), AveragingMode.Block, 1), new PeakHold(values, 50)));
        SnapshotExchange exchange = engine.ShareSnapshots(readers: 1);
        TraceSnapshot snapshot = exchange.CreateSnapshot();
        ushort[] scans = Scans(4);

        for (int from = 0; from < scans.Length; from += 500)
        {
            int length = Math.Min(500, scans.Length - from);
            engine.Process(scans.AsSpan(from, length));
            Assert.True(exchange.Read(snapshot));

            Assert.Equal((from + length) / 2, snapshot.EndPosition);
            Assert.Equal(engine.Axis, snapshot.Axis);
            Assert.Equal(engine.Traces[0].Version, snapshot.Traces[0].Version);
            Assert.Equal(engine.Traces[0].SweepNumbers.ToArray(), snapshot.Traces[0].SweepNumbers.ToArray());
            Assert.Equal(engine.Traces[0].Columns.CodeSums.ToArray(), snapshot.Traces[0].Columns.CodeSums.ToArray());
        }

        Assert.Throws<InvalidOperationException>(() => engine.ShareSnapshots(1));
    }

    [Fact]
    public void Process_WithSnapshotsHoldAndAverage_AllocatesNothing()
    {
        var values = new ColumnValues(new VerticalConverter(new VerticalScale(), 4_095));
        var average = new TraceAverage(values, 50, new(Detector.Average), AveragingMode.Running, 4);
        var engine = new SweepEngine(Bench, new Keep(_ => { }, average, new PeakHold(values, 50)));
        SnapshotExchange exchange = engine.ShareSnapshots(readers: 2);
        TraceSnapshot snapshot = exchange.CreateSnapshot();
        ushort[] scans = Scans(1);
        for (int i = 0; i < 10; i++) engine.Process(scans);

        Allocation.AssertNone(
            () =>
            {
                engine.Process(scans);
                exchange.Read(snapshot);
            }, runs: 40);

        Assert.True(average.SweepsTaken > 40);
    }

    // 50 columns of 80 codes; a sweep of 25 scans fills every other column, and which ones alternates from sweep to sweep.
    [Theory]
    [InlineData(0, 25)]
    [InlineData(1, 50)]
    public void FillOverSweeps_FewerScansThanColumns_KeepsWhatTheLastSweepsFilled(int sweeps, int filled)
    {
        var engine = new SweepEngine(
            new Setup
            {
                Columns = new ColumnOptions { ColumnCount = 50, Placement = Placement.Direct, FillOverSweeps = sweeps },
                Sweep = new() { Edges = new(20, 4_020) },
            },
            new Ignore());

        engine.Process(SparseSweeps(phases: [0, 1, 0, 1, 0, 1, 0, 1, 0, 1]));

        Assert.Equal(filled, engine.Traces[0].SweepNumbers.ToArray().Count(n => n >= 0));
    }

    // After ten sweeps of even columns, each sweep of odd ones leaves the even ones older by one sweep.
    [Theory]
    [InlineData(2, 25)]
    [InlineData(3, 50)]
    [InlineData(5, 50)]
    public void FillOverSweeps_SeveralSweeps_KeepsColumnsForSoMany(int sweeps, int filled)
    {
        var engine = new SweepEngine(
            new Setup
            {
                Columns = new ColumnOptions { ColumnCount = 50, Placement = Placement.Direct, FillOverSweeps = sweeps },
                Sweep = new() { Edges = new(20, 4_020) },
            },
            new Ignore());

        engine.Process(SparseSweeps(phases: [0, 0, 0, 0, 0, 0, 0, 1, 1, 1]));

        Trace trace = engine.Traces[0];
        Assert.Equal(filled, trace.SweepNumbers.ToArray().Count(n => n >= 0));
        Assert.Equal(filled - 25, trace.Marks.ToArray().Count(m => (m & ColumnMarks.Kept) != ColumnMarks.None));
    }

    private static ushort[] SparseSweeps(int[] phases)
    {
        List<ushort> words = [];
        foreach (int phase in phases)
        {
            for (int i = 0; i < 25; i++) words.AddRange([(ushort)(40 + (80 * phase) + (160 * i)), 1_000]);
            words.AddRange([2_000, 4_095, 0, 4_095, 0, 4_095]);
        }

        return [.. words];
    }

    private sealed class Ignore : ISweepSink
    {
        public void SweepEnded(in SweepView sweep)
        {
        }
    }
}
