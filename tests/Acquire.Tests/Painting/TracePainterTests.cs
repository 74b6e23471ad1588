using Acquire.Columns;
using Acquire.Painting;
using Acquire.Scales;
using Acquire.Tests.Doubles;
using Acquire.Traces;

namespace Acquire.Tests.Painting;

public class TracePainterTests
{
    private static readonly SheetColours Sheet = SheetColours.Light;

    private static readonly TracePainterOptions OnePixelLine = new() { LinePixels = 1, GapPixels = 2, Top = 4_000, Bottom = 0 };

    [Fact]
    public void Paint_PartialTrace_IsFreshInkThenAClearGapThenPaleInk()
    {
        // 10 columns on 10 pixels; the first sweep is flat at 1000, the second has reached column 3 at 3000:
        // x:     0 1 2 3 | 4 5 | 6 7 8 9
        //        fresh   | gap | older
        var bench = new TraceBench(10);
        var painter = new TracePainter(bench.Values, OnePixelLine);
        var picture = new Picture(10, 5);
        bench.WholeSweep(_ => 1_000);
        bench.Begin();
        bench.Pass(0, 4, _ => 3_000);
        painter.Paint(bench.Trace, picture.Surface);

        for (int x = 0; x < 10; x++)
        {
            Colour atFresh = x < 4 ? Sheet.Ink : Sheet.Paper;
            Colour atOlder = x >= 6 ? Sheet.PaleInk : Sheet.Paper;
            Assert.Equal([Sheet.Paper, atFresh, Sheet.Paper, atOlder, Sheet.Paper], ColumnOf(picture, x));
        }
    }

    [Fact]
    public void Paint_FrontMovesDown_IsTheMirrorImage()
    {
        var bench = new TraceBench(10);
        var painter = new TracePainter(bench.Values, OnePixelLine);
        var picture = new Picture(10, 5);
        bench.WholeSweep(_ => 1_000);
        bench.Begin(movesDown: true);
        for (int c = 9; c >= 6; c--)
        {
            bench.Trace.AdvanceFront(c);
            bench.Publish(c, 3_000);
        }

        bench.Trace.EndPublish();
        painter.Paint(bench.Trace, picture.Surface);

        for (int x = 0; x < 10; x++)
        {
            Assert.Equal(x >= 6 ? Sheet.Ink : Sheet.Paper, picture[x, 1]);
            Assert.Equal(x < 4 ? Sheet.PaleInk : Sheet.Paper, picture[x, 3]);
        }
    }

    [Theory]
    [InlineData(SignalUp.CodesRise, 0, 4_000)]
    [InlineData(SignalUp.CodesRise, 4_000, 0)]
    [InlineData(SignalUp.CodesFall, 0, 4_000)]
    [InlineData(SignalUp.CodesFall, 4_000, 0)]
    public void Paint_EitherWayUp_TheBandReachesFromTheLowestToTheHighestReading(SignalUp up, double bottom, double top)
    {
        // Five rows of pixels at 4000, 3000 ... 0 codes; readings at 1000, 2000 and 3000 reach from the second to the fourth, the line is where the last is.
        var bench = new TraceBench(1);
        var painter = new TracePainter(
            new ColumnValues(new VerticalConverter(new VerticalScale { Up = up }, 4_095)), OnePixelLine with { Choice = new(Detector.Sample), Bottom = bottom, Top = top });
        var picture = new Picture(1, 5);
        bench.Begin();
        bench.Publish(0, 1_000, 3_000, 2_000);
        bench.End(reachedEnd: true);
        painter.Paint(bench.Trace, picture.Surface);

        Assert.Equal([Sheet.Paper, Sheet.Wash, Sheet.Ink, Sheet.Wash, Sheet.Paper], ColumnOf(picture, 0));
    }

    [Fact]
    public void Paint_FrontColumnStillHoldsTheSweepBefore_IsNotShownFresh()
    {
        var bench = new TraceBench(10);
        var painter = new TracePainter(bench.Values, OnePixelLine);
        var picture = new Picture(10, 5);
        bench.WholeSweep(_ => 1_000);
        bench.Begin();
        bench.Pass(0, 3, _ => 3_000);
        bench.Trace.AdvanceFront(3);
        bench.Trace.EndPublish();
        painter.Paint(bench.Trace, picture.Surface);

        Assert.Equal([Sheet.Ink, Sheet.Ink, Sheet.Ink, Sheet.Paper, Sheet.Paper], Enumerable.Range(0, 5).Select(x => picture[x, 1]));
        Assert.DoesNotContain(Sheet.Ink, Enumerable.Range(0, 10).Select(x => picture[x, 3]));
    }

    [Fact]
    public void Paint_SweepEnded_IsAllFresh()
    {
        var bench = new TraceBench(10);
        var picture = new Picture(10, 5);
        bench.WholeSweep(_ => 1_000);
        bench.WholeSweep(_ => 3_000);
        new TracePainter(bench.Values, OnePixelLine).Paint(bench.Trace, picture.Surface);

        for (int x = 0; x < 10; x++) Assert.Equal([Sheet.Paper, Sheet.Ink, Sheet.Paper, Sheet.Paper, Sheet.Paper], ColumnOf(picture, x));
    }

    [Fact]
    public void Paint_UnfilledColumns_AreLeftOut()
    {
        var bench = new TraceBench(10);
        var picture = new Picture(20, 5);
        bench.WholeSweep(c => c is 4 or 5 ? null : (ushort)2_000);
        new TracePainter(bench.Values, OnePixelLine).Paint(bench.Trace, picture.Surface);

        for (int x = 0; x < 20; x++) Assert.Equal(x is >= 8 and < 12 ? Sheet.Paper : Sheet.Ink, picture[x, 2]);
    }

    [Fact]
    public void Paint_KeptColumn_GrowsPalerWithEachSweep()
    {
        var bench = new TraceBench(3, fillOverSweeps: 4);
        var painter = new TracePainter(bench.Values, OnePixelLine with { ShowBand = false });
        var picture = new Picture(30, 5);
        bench.WholeSweep(_ => 2_000);
        var seen = new List<Colour>();
        for (int sweep = 1; sweep <= 5; sweep++)
        {
            bench.WholeSweep(c => c == 1 ? null : (ushort)2_000);
            painter.Paint(bench.Trace, picture.Surface);
            seen.Add(picture[15, 2]);
            Assert.Equal(Sheet.Ink, picture[0, 2]);
        }

        Assert.Equal([Sheet.Inks[1], Sheet.Inks[2], Sheet.Inks[3], Sheet.Inks[4], Sheet.Paper], seen);
    }

    [Fact]
    public void Paint_OneHighColumnAmongMany_IsNotLost()
    {
        var bench = new TraceBench(1_000);
        var picture = new Picture(37, 41);
        foreach (int high in new[] { 0, 1, 499, 500, 998, 999 })
        {
            bench.WholeSweep(c => c == high ? (ushort)4_000 : (ushort)0);
            new TracePainter(bench.Values, OnePixelLine).Paint(bench.Trace, picture.Surface);
            Assert.Equal(Sheet.Ink, picture[high * 37 / 1_000, 0]);
        }
    }

    [Fact]
    public void Paint_Band_ReachesFromLowestToHighestReading()
    {
        var bench = new TraceBench(2);
        var options = OnePixelLine with { Choice = new ValueChoice(Acquire.Columns.Detector.Sample) };
        var picture = new Picture(2, 5);
        bench.Begin();
        bench.Trace.AdvanceFront(0);
        bench.Publish(0, 1_000, 4_000, 2_000); // a code is 1/1000 of a row here: rows 3, 0 and 2
        bench.Trace.AdvanceFront(1);
        bench.Publish(1, 2_000);
        bench.Trace.EndPublish();
        bench.End(reachedEnd: true);
        new TracePainter(bench.Values, options).Paint(bench.Trace, picture.Surface);

        Assert.Equal([Sheet.Wash, Sheet.Wash, Sheet.Ink, Sheet.Wash, Sheet.Paper], ColumnOf(picture, 0));
        Assert.Equal([Sheet.Paper, Sheet.Paper, Sheet.Ink, Sheet.Paper, Sheet.Paper], ColumnOf(picture, 1));
    }

    [Fact]
    public void Paint_Reference_IsDashedBehindTheTraceAndThroughTheGap()
    {
        var bench = new TraceBench(20);
        var painter = new TracePainter(bench.Values, OnePixelLine);
        var picture = new Picture(20, 5);
        painter.SetReference([.. Enumerable.Repeat(3_000.0, 20)]);
        bench.WholeSweep(_ => 1_000);
        bench.Begin();
        bench.Pass(0, 3, _ => 3_000);
        painter.Paint(bench.Trace, picture.Surface);

        Assert.Equal(Sheet.Ink, picture[0, 1]);
        Assert.Equal(Sheet.Reference, picture[3, 1]);
        Assert.Equal(Sheet.Paper, picture[8, 1]);
        Assert.Equal(Sheet.Reference, picture[10, 1]);
        painter.SetReference([]);
        painter.Paint(bench.Trace, picture.Surface);
        Assert.Equal(Sheet.Paper, picture[10, 1]);
    }

    [Fact]
    public void Paint_Grid_LiesUnderTheTraceOnItsPlaces()
    {
        var bench = new TraceBench(10);
        var picture = new Picture(10, 5);
        bench.WholeSweep(_ => 1_000);
        new TracePainter(bench.Values, OnePixelLine with { GridRows = [0, 0.5, 1], GridColumns = [0.3] }).Paint(bench.Trace, picture.Surface);

        Assert.Equal([Sheet.Grid, Sheet.Paper, Sheet.Grid, Sheet.Ink, Sheet.Grid], ColumnOf(picture, 0));
        Assert.Equal([Sheet.Grid, Sheet.Grid, Sheet.Grid, Sheet.Ink, Sheet.Grid], ColumnOf(picture, 3));
    }

    [Fact]
    public void Paint_ValuesOutsideOfThePicture_LeaveIt()
    {
        var bench = new TraceBench(4);
        var picture = new Picture(4, 5);
        bench.WholeSweep(c => c < 2 ? (ushort)4_095 : (ushort)0);
        new TracePainter(bench.Values, OnePixelLine with { Bottom = 1_000, Top = 2_000, ShowBand = false }).Paint(bench.Trace, picture.Surface);

        for (int y = 0; y < 5; y++) Assert.Equal(Sheet.Paper, picture[0, y]);
        Assert.True(picture.BordersAreUntouched());
    }

    [Fact]
    public void New_BadOptions_SaysValueAndFix()
    {
        var bench = new TraceBench(2);
        Assert.Contains("from 5 to 5", Assert.Throws<ArgumentException>(() => new TracePainter(bench.Values, new() { Bottom = 5, Top = 5 })).Message);
        Assert.Throws<ArgumentException>(() => new TracePainter(bench.Values, new() { Top = double.NaN }));
        Assert.Throws<ArgumentException>(() => new TracePainter(bench.Values, new() { LinePixels = 0.5 }));
        Assert.Throws<ArgumentException>(() => new TracePainter(bench.Values, new() { GapPixels = -1 }));
        Assert.Throws<ArgumentException>(() => new TracePainter(bench.Values, new() { GridRows = [1.5] }));
        Assert.Contains("no level", Assert.Throws<ArgumentException>(() => new TracePainter(bench.Values, new() { Choice = new(Acquire.Columns.Detector.Peak, Acquire.Scales.ValueUnit.Level) })).Message);

        var painter = new TracePainter(bench.Values);
        painter.SetReference([1, 2, 3]);
        byte[] bytes = new byte[64];
        Assert.Contains("3 columns", Assert.Throws<ArgumentException>(() => painter.Paint(bench.Trace, new PixelSurface(bytes, 4, 4, 16, PixelFormat.Bgra8888))).Message);
    }

    private static Colour[] ColumnOf(Picture picture, int x) => [.. Enumerable.Range(0, picture.Height).Select(y => picture[x, y])];
}
