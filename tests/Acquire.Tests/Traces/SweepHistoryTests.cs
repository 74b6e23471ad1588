using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Tests.Doubles;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Tests.Traces;

public class SweepHistoryTests
{
    private static readonly VerticalConverter Codes = Given.Converter(new VerticalScale());

    private static SweepInfo Sweep(long number, int axis = 0, SweepEnd end = SweepEnd.Retrace) =>
        new() { Number = number, Complete = true, EndReason = end, AxisNumber = axis };

    [Fact]
    public void Take_MoreSweepsThanRows_KeepsTheNewest()
    {
        var history = new SweepHistory(new ColumnValues(Codes), 2, new(Detector.Peak), depth: 3);

        for (int i = 0; i < 5; i++) history.Take(Sweep(i), Given.Columns(Codes, [(ushort)i], []));

        Assert.Equal(3, history.Count);
        Assert.Equal(5, history.Taken);
        Assert.Equal([4, 3, 2], Enumerable.Range(0, 3).Select(i => history.Newest(i).Info.Number));
        Assert.Equal([2, 3, 4], Enumerable.Range(0, 3).Select(i => history.Oldest(i).Info.Number));
        Assert.Equal([4, double.NaN], history.Newest(0).Values.ToArray());
    }

    [Fact]
    public void Take_NewAxisOrSettings_MarksTheFirstRowOfASection()
    {
        var history = new SweepHistory(new ColumnValues(Codes), 1, new(Detector.Peak), depth: 9);
        ColumnStatistics columns = Given.Columns(Codes, [1]);

        Assert.Equal(SweepTaking.Taken, history.Take(Sweep(0), columns));
        Assert.Equal(SweepTaking.Taken, history.Take(Sweep(1), columns));
        Assert.Equal(SweepTaking.StartedAnew, history.Take(Sweep(2, axis: 1), columns));
        history.StartSection();
        history.StartSection();
        Assert.Equal(SweepTaking.Taken, history.Take(Sweep(3, axis: 1), columns));

        Assert.Equal([0, 0, 1, 2], Enumerable.Range(0, 4).Select(i => history.Oldest(i).Section));
        Assert.Equal([true, false, true, true], Enumerable.Range(0, 4).Select(i => history.Oldest(i).StartsSection));
    }

    [Fact]
    public void Take_SuspectColumns_AreUnfilledInTheRow()
    {
        var history = new SweepHistory(new ColumnValues(Codes), 2, new(Detector.Peak), depth: 2);
        SweepInfo suspect = Sweep(0) with { SuspectScans = 1 };

        Assert.Equal(SweepTaking.Suspect, history.Take(suspect, Given.Columns(Codes, [1], [2])));
        Assert.Equal(SweepTaking.Taken, history.Take(suspect, Given.Columns(Codes, [1], [2]), [ColumnMarks.None, ColumnMarks.Suspect]));

        Assert.Equal([1, double.NaN], history.Newest(0).Values.ToArray());
    }

    [Fact]
    public void Take_AbortedSweep_IsARowOnlyIfAsked()
    {
        var without = new SweepHistory(new ColumnValues(Codes), 1, new(Detector.Peak), depth: 2);
        var with = new SweepHistory(new ColumnValues(Codes), 1, new(Detector.Peak), depth: 2, countAborted: true);

        Assert.Equal(SweepTaking.Aborted, without.Take(Sweep(0, end: SweepEnd.Abort), Given.Columns(Codes, [1])));
        Assert.Equal(SweepTaking.Taken, with.Take(Sweep(0, end: SweepEnd.Abort), Given.Columns(Codes, [1])));

        Assert.Equal(0, without.Count);
        Assert.Equal(1, with.Count);
    }

    [Fact]
    public void Clear_DropsRowsAndBeginsAtSectionZero()
    {
        var history = new SweepHistory(new ColumnValues(Codes), 1, new(Detector.Peak), depth: 2);
        history.Take(Sweep(0, axis: 4), Given.Columns(Codes, [1]));
        history.Take(Sweep(1, axis: 5), Given.Columns(Codes, [1]));

        history.Clear();

        Assert.Equal(0, history.Count);
        Assert.Throws<ArgumentOutOfRangeException>(() => history.Newest(0).Section);
        Assert.Equal(SweepTaking.Taken, history.Take(Sweep(2, axis: 6), Given.Columns(Codes, [7])));
        Assert.Equal(0, history.Newest(0).Section);
        Assert.True(history.Newest(0).StartsSection);
        Assert.Equal(1, history.Taken);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(65_537)]
    public void Constructor_DepthOutOfRange_Throws(int depth) =>
        Assert.Throws<ArgumentException>(() => new SweepHistory(new ColumnValues(Codes), 1, new(Detector.Peak), depth));

    [Fact]
    public void Constructor_UnavailableChoiceOrRowOutOfRange_Throws()
    {
        Assert.Throws<ArgumentException>(() => new SweepHistory(new ColumnValues(Codes), 1, new(Detector.Peak, ValueUnit.Level), 1));
        var history = new SweepHistory(new ColumnValues(Codes), 1, new(Detector.Peak), 65_536);
        Assert.Throws<ArgumentOutOfRangeException>(() => history.Newest(-1).Section);
        Assert.Throws<ArgumentOutOfRangeException>(() => history.Oldest(0).Section);
    }

    // Exact capacity and its neighbours, twice over.
    [Fact]
    public void Rows_AnyDepthAndNumberOfSweeps_AgreeWithAList() =>
        Gen.Select(Gen.Int[1, 9], Gen.Int[0, 2], Gen.Int[0, 20]).Sample((depth, clearEvery, sweeps) =>
        {
            var history = new SweepHistory(new ColumnValues(Codes), 1, new(Detector.Sample), depth);
            List<double> model = [];
            for (int i = 0; i < sweeps; i++)
            {
                if (clearEvery == 1 && i == sweeps / 2)
                {
                    history.Clear();
                    model.Clear();
                }

                history.Take(Sweep(i), Given.Columns(Codes, [(ushort)i]));
                model.Add(i);
                if (model.Count > depth) model.RemoveAt(0);
                Assert.Equal(model, Enumerable.Range(0, history.Count).Select(r => history.Oldest(r).Values[0]));
                Assert.Equal(model.AsEnumerable().Reverse(), Enumerable.Range(0, history.Count).Select(r => history.Newest(r).Values[0]));
            }
        });

    [Fact]
    public void TakeAndRead_SweepAfterSweep_AllocateNothing()
    {
        VerticalConverter converter = Given.Converter(Given.LogarithmicBent, Given.AllDomains);
        var history = new SweepHistory(new ColumnValues(converter), 3, new(Detector.Average, ValueUnit.Level), 4);
        ColumnStatistics columns = Given.Columns(converter, [1, 2], [], [4_095]);
        ColumnMarks[] marks = new ColumnMarks[3];
        int axis = 0;

        Allocation.AssertNone(() =>
        {
            history.Take(Sweep(0, axis++ / 10), columns, marks);
            _ = history.Newest(0).Values[0] + history.Oldest(0).Values[0];
        });
    }
}
