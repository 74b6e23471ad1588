using Acquire.Capture;
using Acquire.Columns;

namespace Acquire.Tests.Engine;

/// <summary>A mark holds for the sweeps that begin from its position on.</summary>
public class MarkTests
{
    private const int Period = 1_000;

    [Fact]
    public void SweepInfo_MarksBetweenAndInsideSweeps_HoldFromTheNextBeginOn()
    {
        var sweeps = new SweepRecord(keepsColumns: false);
        var engine = new SweepEngine(new Setup { Columns = new ColumnOptions { ColumnCount = 50 } }, sweeps, 1 << 13);
        ushort[] scans = new ushort[2 * Period];
        for (int i = 0; i < Period; i++) scans[2 * i] = (ushort)(i < 900 ? 300 + (4 * i) : 300);

        // The first mark comes before any ramp was found, the third for a scan long past.
        engine.Process(scans);
        engine.Mark(950, 7);
        engine.Process(scans);
        engine.Process(scans);
        engine.Process(scans.AsSpan(0, 2 * 400));
        engine.Mark((3 * Period) + 400, 8);
        engine.Process(scans.AsSpan(2 * 400));
        engine.Process(scans);
        engine.Mark((4 * Period) + 950, 9);
        engine.Mark((4 * Period) + 950, 10);
        engine.Process(scans);
        engine.Skip(5_000, GapCause.Link);
        engine.Process(scans);
        engine.Complete();

        Assert.Equal([null, (ushort)7, (ushort)7, (ushort)7, (ushort)8, (ushort)10, (ushort)10], sweeps.Sweeps.Select(s => s.Info.MarkWord));
        Assert.Equal([0, 1, 1, 1, 2, 4, 4], sweeps.Sweeps.Select(s => s.Info.Section));
    }

    // Behind a gap the device still is what it was; behind a break nobody knows.
    [Fact]
    public void SweepInfo_BreakBehindAMark_HoldsNoWordUntilItIsSaidAgain()
    {
        var sweeps = new SweepRecord(keepsColumns: false);
        var engine = new SweepEngine(new Setup { Columns = new ColumnOptions { ColumnCount = 50 } }, sweeps, 1 << 13);
        ushort[] scans = new ushort[2 * Period];
        for (int i = 0; i < Period; i++) scans[2 * i] = (ushort)(i < 900 ? 300 + (4 * i) : 300);

        engine.Mark(0, 7);
        engine.Process(scans);
        engine.Process(scans);
        engine.Break(GapCause.Reset);
        engine.Process(scans);
        engine.Process(scans);
        engine.Mark((4 * Period) - 50, 7);
        engine.Process(scans);
        engine.Complete();

        Assert.Equal([(ushort)7, (ushort)7, null, null, (ushort)7], sweeps.Sweeps.Select(s => s.Info.MarkWord));
        Assert.Equal([1, 1, 2, 2, 3], sweeps.Sweeps.Select(s => s.Info.Section));
    }

    [Fact]
    public void At_MoreMarksThanAreKept_StillKnowsTheLatest()
    {
        var marks = new MarkRecord();
        Assert.Equal((-1, (0, (ushort?)null)), (marks.Last, marks.At(5)));
        for (int i = 0; i < 10_000; i++) marks.Add(10 * i, (ushort)i);

        Assert.Equal((10_000, (ushort?)9_999), marks.At(long.MaxValue));
        Assert.Equal((9_001, (ushort?)9_000), marks.At(90_009));
        Assert.Equal(99_990, marks.Last);
        // What fell out of memory is older than any sweep that can still begin.
        Assert.Equal((5_904, (ushort?)null), marks.At(3));
    }
}
