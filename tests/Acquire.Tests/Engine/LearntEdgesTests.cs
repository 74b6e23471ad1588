using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Tests.Engine;

/// <summary>Learnt edges: provisional before a whole sweep was seen, then frozen, moved only for a lasting reason.</summary>
public class LearntEdgesTests
{
    private const int Columns = 100, SweepScans = 900, RestScans = 100;

    // 3,600 codes on 100 columns: a column is 36 codes wide, a scan moves by 4 codes.
    private const double LowEdge = 200, HighEdge = 3_800, ColumnCodes = 36;

    private static readonly Setup Learning = new() { Columns = new ColumnOptions { ColumnCount = Columns, Placement = Placement.Direct } };

    private static void AddSweep(ScanStream stream, double low = LowEdge, double high = HighEdge)
    {
        for (int i = 0; i < SweepScans; i++) stream.Add((ushort)Math.Round(low + ((high - low) * i / (SweepScans - 1))), 1_000);
        for (int i = 0; i < RestScans; i++) stream.Add((ushort)Math.Round(low), 3_000);
    }

    private static ScanStream Sweeps(params ReadOnlySpan<(int Count, double Low, double High)> parts)
    {
        var stream = new ScanStream(new ScanFormat());
        foreach ((int count, double low, double high) in parts)
            for (int i = 0; i < count; i++) AddSweep(stream, low, high);
        return stream;
    }

    [Theory]
    [InlineData(Placement.Direct)]
    [InlineData(Placement.Fitted)]
    public void Axis_BeforeALock_IsProvisionalAndItsColumnsSaySo(Placement placement)
    {
        ScanStream stream = Sweeps((4, LowEdge, HighEdge));
        Setup setup = Learning with { Columns = Learning.Columns with { Placement = placement } };
        var sweeps = new SweepRecord();
        var engine = new SweepEngine(setup, sweeps, 1 << 13);
        Assert.True(engine.Axis is { Learnt: true, Provisional: true, Number: 0 });

        stream.Feed(engine, 0, SweepScans / 2);

        // Half way up the ramp, drawn on the converter's range: the code of column c is about 4,095 c / 100.
        Trace trace = engine.Traces[0];
        Assert.True(engine.Axis.Provisional);
        int filled = 0;
        for (int c = 0; c < Columns; c++)
        {
            if (trace.Columns.Counts[c] == 0) continue;
            filled++;
            Assert.Equal(ColumnMarks.Provisional, trace.Marks[c]);
            Assert.InRange(c, (int)(LowEdge / 40.95) - 1, 50);
        }

        Assert.InRange(filled, 42, 46);

        stream.Feed(engine, SweepScans / 2, stream.Scans);
        engine.Complete();

        Assert.True(engine.Axis is { Provisional: false, Learnt: true });
        Assert.True(engine.Axis.Number > 0);
        Assert.Equal(4, sweeps.Sweeps.Count);
        Assert.All(sweeps.Sweeps, s => Assert.Equal(engine.Axis, s.Axis));
        Assert.InRange(engine.Axis.LowCode, LowEdge - (ColumnCodes / 4), LowEdge + (ColumnCodes / 4));
        Assert.InRange(engine.Axis.HighCode, HighEdge - (ColumnCodes / 4), HighEdge + (ColumnCodes / 4));
        Assert.All(trace.Marks.ToArray(), m => Assert.Equal(ColumnMarks.None, m));
        Assert.All(trace.Columns.HighestCodes.ToArray(), h => Assert.Equal(1_000, h));
    }

    // A sweep longer than the history: followed on the converter's range, put on columns once when it has ended.
    [Fact]
    public void Axis_FirstSweepLongerThanTheHistory_IsReplacedOnceAtItsEnd()
    {
        const int Long = 260_000;
        var stream = new ScanStream(new ScanFormat());
        for (int i = 0; i < 1_000; i++) stream.Add((ushort)LowEdge, 3_000);
        for (int sweep = 0; sweep < 2; sweep++)
        {
            for (int i = 0; i < Long; i++) stream.Add((ushort)Math.Round(LowEdge + ((HighEdge - LowEdge) * i / (Long - 1))), 1_000);
            for (int i = 0; i < 2_000; i++) stream.Add((ushort)LowEdge, 3_000);
        }

        var sweeps = new SweepRecord();
        var engine = new SweepEngine(Learning, sweeps, 1 << 16);

        stream.Feed(engine, 0, Long - 100);
        Assert.True(engine.Axis.Provisional);
        Assert.Contains(ColumnMarks.Provisional, engine.Traces[0].Marks.ToArray());
        int provisional = engine.Axis.Number;
        stream.Feed(engine, Long - 100, stream.Scans);
        engine.Complete();

        Assert.Equal(2, sweeps.Sweeps.Count);
        Assert.All(sweeps.Sweeps, s => Assert.True(s.Axis.Number == provisional + 1 && !s.Axis.Provisional));
        Assert.Equal(0, engine.Ramp.AxisChanges);
        Assert.All(engine.Traces[0].Marks.ToArray(), m => Assert.Equal(ColumnMarks.None, m));
    }

    [Fact]
    public void Axis_EndsWithinHalfAColumn_StaysFrozen()
    {
        ScanStream stream = Sweeps((6, LowEdge, HighEdge), (20, LowEdge - (0.3 * ColumnCodes), HighEdge + (0.3 * ColumnCodes)));
        var sweeps = new SweepRecord();

        SweepEngine engine = stream.FeedAll(new SweepEngine(Learning, sweeps, 1 << 13));

        Assert.Equal(26, sweeps.Sweeps.Count);
        Assert.Single(sweeps.Sweeps.Select(s => s.Axis).Distinct());
        Assert.Equal(0, engine.Ramp.AxisChanges);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    public void Axis_LeftByFewerThanThreeSweepsInARow_StaysFrozen(int odd)
    {
        ScanStream stream = Sweeps(
            (6, LowEdge, HighEdge), (odd, LowEdge + 90, HighEdge - 90), (2, LowEdge, HighEdge), (odd, LowEdge + 90, HighEdge - 90), (5, LowEdge, HighEdge));
        var sweeps = new SweepRecord();

        SweepEngine engine = stream.FeedAll(new SweepEngine(Learning, sweeps, 1 << 13));

        Assert.Equal(13 + (2 * odd), sweeps.Sweeps.Count);
        Assert.Single(sweeps.Sweeps.Select(s => s.Axis).Distinct());
        Assert.Equal(0, engine.Ramp.AxisChanges);
    }

    // A ramp that ends early for the first time is taken for an aborted sweep; the sweeps that count are whole.
    [Theory]
    [InlineData(-90)]
    [InlineData(90)]
    public void Axis_LeftByThreeWholeSweepsInARow_MovesAndEverythingStartsAnew(int inwards)
    {
        double low = LowEdge + inwards, high = HighEdge - inwards;
        ScanStream stream = Sweeps((6, LowEdge, HighEdge), (7, low, high));
        var sweeps = new SweepRecord();
        var hold = new PeakHold(new ColumnValues(new VerticalConverter(new VerticalScale(), 4_095)), Columns);
        List<SweepTaking> takings = [];
        sweeps.OnSweep = () => takings.Add(hold.Take(sweeps.Sweeps[^1].Info, sweeps.Sweeps[^1].Verticals[0]));
        var engine = new SweepEngine(Learning, sweeps, 1 << 13);

        stream.FeedAll(engine);

        Assert.Equal(13, sweeps.Sweeps.Count);
        int third = 6 + (sweeps.Sweeps[6].Info.EndReason == SweepEnd.Abort ? 3 : 2);
        Assert.Equal(inwards > 0, third == 9);
        Assert.All(sweeps.Sweeps.Skip(third - 2), s => Assert.Equal(SweepEnd.Retrace, s.Info.EndReason));
        ColumnAxis before = sweeps.Sweeps[0].Axis, after = sweeps.Sweeps[^1].Axis;
        Assert.All(sweeps.Sweeps.Take(third + 1), s => Assert.Equal(before, s.Axis));
        Assert.All(sweeps.Sweeps.Skip(third + 1), s => Assert.Equal(after, s.Axis));
        Assert.Equal(before.Number + 1, after.Number);
        Assert.False(after.Provisional);
        Assert.InRange(after.LowCode, low - (ColumnCodes / 4), low + (ColumnCodes / 4));
        Assert.InRange(after.HighCode, high - (ColumnCodes / 4), high + (ColumnCodes / 4));
        Assert.Equal(1, engine.Ramp.AxisChanges);
        Assert.Equal(after, engine.Axis);
        Assert.All(sweeps.Sweeps, s => Assert.Equal(s.Axis.Number, s.Info.AxisNumber));

        // Hold starts anew, a reference taken on the old axis no longer binds, and the trace holds nothing of it.
        Assert.Equal([third + 1], Enumerable.Range(0, takings.Count).Where(i => takings[i] == SweepTaking.StartedAnew));
        Assert.Equal(12 - third, hold.SweepsTaken);
        ReferenceCheck check = new TraceReference(ConditionsOn(before), new double[Columns], [], 1).Check(ConditionsOn(after));
        Assert.Equal(ReferenceVerdict.Refused, check.Verdict);
        Assert.Contains(check.Issues, i => i.Kind == ReferenceIssueKind.Edges && i.Refuses);
        Assert.Equal(after.Number, engine.Traces[0].AxisNumber);
        Assert.All(engine.Traces[0].SweepNumbers.ToArray(), n => Assert.True(n is -1 or 12, $"{n}"));
    }

    [Fact]
    public void Axis_GivenEdges_NeverMove()
    {
        ScanStream stream = Sweeps((6, LowEdge, HighEdge), (12, LowEdge + 90, HighEdge - 90));
        var sweeps = new SweepRecord();
        Setup setup = Learning with { Sweep = new SweepOptions { Edges = new SweepEdges((decimal)LowEdge, (decimal)HighEdge) } };

        SweepEngine engine = stream.FeedAll(new SweepEngine(setup, sweeps, 1 << 13));

        Assert.Equal(18, sweeps.Sweeps.Count);
        Assert.All(sweeps.Sweeps, s => Assert.True(s.Axis is { Learnt: false, Provisional: false, LowCode: LowEdge, HighCode: HighEdge }));
        Assert.Single(sweeps.Sweeps.Select(s => s.Axis.Number).Distinct());
        Assert.Equal(0, engine.Ramp.AxisChanges);
    }

    private static TraceConditions ConditionsOn(ColumnAxis axis) =>
        new() { Choice = new(Detector.Average, ValueUnit.Code), Scale = new(), FullCode = 4_095, Axis = axis };
}
