using Acquire.Columns;
using Acquire.Tests.Doubles;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Tests.Traces;

public class TraceTests
{
    /// <summary>A sweep in which every column holds one scan with the sweep's number as code.</summary>
    private static ColumnStatistics SweepOf(int columns, int number) =>
        Given.Columns(Given.Converter(new()), [.. Enumerable.Range(0, columns).Select(_ => new[] { (ushort)number })]);

    private static void Draw(Trace trace, int number, IEnumerable<int> columns, bool movesDown = false, bool samePass = false, bool reachedEnd = true)
    {
        ColumnStatistics sweep = SweepOf(trace.ColumnCount, number);
        trace.BeginSweep(number, movesDown, samePass);
        foreach (int column in columns)
        {
            trace.PublishColumn(column, sweep, column, number, (number * 1_000) + column);
            trace.AdvanceFront(column);
        }

        trace.EndSweep(reachedEnd);
        trace.EndPublish();
    }

    [Fact]
    public void Front_InTheMiddleOfASecondSweep_SeparatesFreshFromOldColumns()
    {
        var trace = new Trace(4, []);
        Draw(trace, 0, [0, 1, 2, 3]);

        trace.BeginSweep(1);
        trace.PublishColumn(0, SweepOf(4, 1), 0, 1, 1_000);
        trace.PublishColumn(1, SweepOf(4, 1), 1, 1, 1_001);
        trace.AdvanceFront(1);
        trace.EndPublish();

        Assert.Equal(1, trace.Front);
        Assert.Equal(1, trace.SweepNumber);
        Assert.Equal([1, 1, 0, 0], trace.SweepNumbers.ToArray());
        Assert.Equal([1_000, 1_001, 2, 3], trace.Ages.ToArray());
        Assert.Equal([1, 1, 0, 0], trace.Columns.LastCodes.ToArray().Select(c => (int)c));
    }

    [Fact]
    public void EndSweep_AtTheEndEdge_ShowsNoFront()
    {
        var trace = new Trace(3, []);

        Draw(trace, 0, [0, 1, 2]);

        Assert.Equal(-1, trace.Front);
        Assert.Equal(-1, trace.SweepNumber);
    }

    [Fact]
    public void AdvanceFront_ColumnWithoutScans_BecomesUnfilledWithNothingLeft()
    {
        var trace = new Trace(4, []);
        Draw(trace, 0, [0, 1, 2, 3]);

        Draw(trace, 1, [0, 2]);

        Assert.Equal([1, -1, 1, -1], trace.SweepNumbers.ToArray());
        Assert.Equal([1_000, -1, 1_002, -1], trace.Ages.ToArray());
        Assert.Equal([1, 0, 1, 0], trace.Columns.Counts.ToArray());
    }

    [Fact]
    public void AdvanceFront_FillOverTwoSweeps_KeepsValueAgeAndMarkForTwoSweepsOnly()
    {
        var trace = new Trace(3, [], fillOverSweeps: 2);
        Draw(trace, 0, [0, 1, 2]);

        Draw(trace, 1, [0, 2]);
        Assert.Equal([1, 0, 1], trace.SweepNumbers.ToArray());
        Assert.Equal(1, trace.Ages[1]);
        Assert.Equal(ColumnMarks.Kept, trace.Marks[1]);

        Draw(trace, 2, [0, 2]);
        Assert.Equal(0, trace.SweepNumbers[1]);

        Draw(trace, 3, [0, 2]);
        Assert.Equal(-1, trace.SweepNumbers[1]);
        Assert.Equal(ColumnMarks.None, trace.Marks[1]);
    }

    [Fact]
    public void AdvanceFront_MovingDown_ClearsWhatItLeavesOnItsWay()
    {
        var trace = new Trace(4, []);
        Draw(trace, 0, [0, 1, 2, 3]);

        Draw(trace, 1, [3, 1], movesDown: true, reachedEnd: false);

        Assert.True(trace.FrontMovesDown);
        Assert.Equal(1, trace.Front);
        Assert.Equal([0, 1, -1, 1], trace.SweepNumbers.ToArray());

        Draw(trace, 2, [3, 2], movesDown: true);
        Assert.Equal([-1, -1, 2, 2], trace.SweepNumbers.ToArray());
    }

    [Fact]
    public void BeginSweep_AfterAGapInTheSamePass_KeepsWhatThePassDrewAndClearsTheGap()
    {
        var trace = new Trace(5, []);
        Draw(trace, 0, [0, 1, 2, 3, 4]);
        Draw(trace, 1, [0, 1], reachedEnd: false);

        Draw(trace, 2, [3, 4], samePass: true);

        Assert.Equal([1, 1, -1, 2, 2], trace.SweepNumbers.ToArray());
    }

    [Fact]
    public void BeginSweep_InTheMiddleOfANewPass_ClearsWhatThatPassDidNotSee()
    {
        var trace = new Trace(4, []);
        Draw(trace, 0, [0, 1, 2, 3]);

        Draw(trace, 1, [2, 3]);

        Assert.Equal([-1, -1, 1, 1], trace.SweepNumbers.ToArray());
    }

    [Fact]
    public void EndSweep_Aborted_LeavesTheFrontAndWhatLiesBeyond()
    {
        var trace = new Trace(4, []);
        Draw(trace, 0, [0, 1, 2, 3]);

        Draw(trace, 1, [0, 1], reachedEnd: false);

        Assert.Equal(1, trace.Front);
        Assert.Equal([1, 1, 0, 0], trace.SweepNumbers.ToArray());
    }

    [Fact]
    public void DrawBack_AndRestoreColumn_LeaveNothingOfWithdrawnScans()
    {
        var trace = new Trace(6, []);
        Draw(trace, 0, [0, 1, 2, 3, 5]);
        ColumnStatistics second = SweepOf(6, 1);
        trace.BeginSweep(1);
        foreach (int column in (int[])[0, 2, 4])
        {
            trace.PublishColumn(column, second, column, 1, 1_000 + column);
            trace.AdvanceFront(column);
        }

        Assert.Equal([1, -1, 1, -1, 1, 0], trace.SweepNumbers.ToArray());

        // The scan in column 4 was no scan of the sweep.
        trace.DrawBack(2);
        trace.RestoreColumn(4);
        trace.SetFront(2);

        Assert.Equal([1, -1, 1, 0, -1, 0], trace.SweepNumbers.ToArray());
    }

    [Fact]
    public void CancelSweep_AfterAnyWrites_TheTraceIsAsBefore()
    {
        var trace = new Trace(4, [], fillOverSweeps: 1);
        Draw(trace, 0, [0, 1, 2, 3]);
        Draw(trace, 1, [0, 2], reachedEnd: false);
        long[] numbers = trace.SweepNumbers.ToArray(), ages = trace.Ages.ToArray();
        ColumnMarks[] marks = trace.Marks.ToArray();
        trace.BeginSweep(2, movesDown: true);
        foreach (int column in (int[])[3, 0])
        {
            trace.PublishColumn(column, SweepOf(4, 2), column, 2, 2_000);
            trace.AdvanceFront(column);
        }

        trace.CancelSweep();

        Assert.Equal(numbers, trace.SweepNumbers.ToArray());
        Assert.Equal(ages, trace.Ages.ToArray());
        Assert.Equal(marks, trace.Marks.ToArray());
        Assert.Equal((2, false, -1L), (trace.Front, trace.FrontMovesDown, trace.SweepNumber));
    }

    [Fact]
    public void StartAxis_MakesEverythingUnfilled()
    {
        var trace = new Trace(3, []);
        Draw(trace, 0, [0, 1, 2]);

        trace.StartAxis(4);

        Assert.Equal(4, trace.AxisNumber);
        Assert.Equal([-1, -1, -1], trace.SweepNumbers.ToArray());
        Assert.Equal([0, 0, 0], trace.Columns.Counts.ToArray());
    }

    [Fact]
    public void EndPublish_NothingWritten_KeepsTheVersion()
    {
        var trace = new Trace(3, []);
        Draw(trace, 0, [0]);
        long version = trace.Version;

        Assert.False(trace.EndPublish());
        Assert.Equal(version, trace.Version);
        Assert.False(trace.TryGetChanges(version, out _, out _));
    }

    [Fact]
    public void TryGetChanges_AnyWritesAndAnyVersionSeen_CoversEveryChangedColumn() =>
        Gen.Int[0, 9].Array[0, 3].Array[1, 60].Sample(publishes =>
        {
            var trace = new Trace(10, []);
            var changedIn = new List<int[]> { Array.Empty<int>() };
            foreach (int[] columns in publishes)
            {
                foreach (int column in columns) trace.PublishColumn(column, SweepOf(10, 1), column, 0, 0);
                if (trace.EndPublish()) changedIn.Add(columns);
            }

            Assert.Equal(changedIn.Count - 1, trace.Version);
            for (int seen = 0; seen <= trace.Version; seen++)
            {
                int[] expected = [.. changedIn.Skip(seen + 1).SelectMany(c => c).Distinct().Order()];
                bool any = trace.TryGetChanges(seen, out int first, out int end);
                Assert.Equal(expected.Length > 0, any);
                List<int> found = [];
                for (int c = first; c < end; c++)
                    if (trace.ColumnVersions[c] > seen) found.Add(c);
                Assert.Equal(expected, found);
            }
        });

    [Fact]
    public void CopyFrom_AfterAnyWrites_IsTheSameTrace() =>
        Gen.Select(Gen.Int[0, 9], Gen.Int[0, 5], Gen.Int[0, 50]).Array[1, 80].Sample(writes =>
        {
            var trace = new Trace(10, []);
            var copy = new Trace(10, []);
            foreach ((int column, int code, int what) in writes)
            {
                if (what == 0) trace.StartAxis(code);
                else if (what < 10) trace.ClearColumn(column);
                else if (what < 20) trace.SetFront(column);
                else trace.PublishColumn(column, SweepOf(10, code), column, code, what);
                // Several writes to a publish, side by side or not.
                if (what % 3 != 0) continue;
                trace.EndPublish();
                if (what % 7 != 0) continue;
                copy.CopyFrom(trace);
                AssertSame(trace, copy);
                Assert.Equal(trace.Version, copy.Version);
                Assert.Equal(trace.ColumnVersions.ToArray(), copy.ColumnVersions.ToArray());
            }
        });

    [Fact]
    public void WholeSweep_AllocatesNothing()
    {
        var trace = new Trace(100, Given.AllDomains, fillOverSweeps: 1);
        var converter = Given.Converter(Given.Logarithmic, Given.AllDomains);
        ColumnStatistics sweep = Given.Columns(converter, [.. Enumerable.Range(0, 100).Select(c => new ushort[] { (ushort)c })]);
        long number = 0;

        Allocation.AssertNone(() =>
        {
            trace.BeginSweep(number);
            for (int c = 0; c < 100; c += 1 + (int)(number % 2))
            {
                trace.PublishColumn(c, sweep, c, number, c);
                trace.AdvanceFront(c);
            }

            trace.EndSweep(true);
            trace.EndPublish();
            trace.TryGetChanges(trace.Version - 3, out _, out _);
            number++;
        });
    }

    private static void AssertSame(Trace expected, Trace actual)
    {
        Assert.Equal(expected.SweepNumbers.ToArray(), actual.SweepNumbers.ToArray());
        Assert.Equal(expected.Ages.ToArray(), actual.Ages.ToArray());
        Assert.Equal(expected.Marks.ToArray(), actual.Marks.ToArray());
        Assert.Equal(expected.Columns.Counts.ToArray(), actual.Columns.Counts.ToArray());
        for (int c = 0; c < expected.ColumnCount; c++)
        {
            if (expected.Columns.Counts[c] == 0) continue;
            Assert.Equal(expected.Columns.HighestCodes[c], actual.Columns.HighestCodes[c]);
            Assert.Equal(expected.Columns.CodeSums[c], actual.Columns.CodeSums[c]);
        }

        Assert.Equal(expected.Front, actual.Front);
        Assert.Equal(expected.FrontMovesDown, actual.FrontMovesDown);
        Assert.Equal(expected.SweepNumber, actual.SweepNumber);
        Assert.Equal(expected.AxisNumber, actual.AxisNumber);
    }
}
