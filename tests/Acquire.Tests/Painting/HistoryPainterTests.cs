using Acquire.Columns;
using Acquire.Painting;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Tests.Doubles;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Tests.Painting;

public class HistoryPainterTests
{
    private static readonly HistoryPainter Painter = new(0, 100, ColourRamp.OnPaper, SheetColours.Light);

    [Fact]
    public void PaintRow_FewColumns_EachIsAsWideAsItIs()
    {
        var picture = new Picture(6, 1);
        Painter.PaintRow([0, 50, 100], picture.Surface, 0);

        Colour[] expected = [.. new[] { 0, 0, 0.5, 0.5, 1, 1 }.Select(f => ColourRamp.OnPaper.At(f))];
        Assert.Equal(expected, Enumerable.Range(0, 6).Select(x => picture[x, 0]));
    }

    [Fact]
    public void PaintRow_ManyColumns_ShowsTheHighestOfEachPixel() =>
        Gen.Select(Gen.Int[1, 20], Gen.Int[0, 300]).Sample((width, extra) =>
        {
            int columns = width + extra;
            for (int high = 0; high < columns; high++)
            {
                double[] values = new double[columns];
                values[high] = 100;
                var picture = new Picture(width, 1);
                Painter.PaintRow(values, picture.Surface, 0);
                int shown = Enumerable.Range(0, width).Count(x => picture[x, 0] == ColourRamp.OnPaper.At(1));
                if (shown != 1) return false;
            }

            return true;
        }, iter: 30);

    [Fact]
    public void PaintRow_UnfilledColumns_AreStippledPaperAndNeverTheLowestColour()
    {
        var picture = new Picture(8, 1);
        Painter.PaintRow([double.NaN, -5, double.NaN, double.NaN], picture.Surface, 0);

        SheetColours sheet = SheetColours.Light;
        Colour lowest = ColourRamp.OnPaper.Colours[0];
        Assert.Equal([sheet.Grid, sheet.Paper, lowest, lowest, sheet.Grid, sheet.Paper, sheet.Paper, sheet.Paper], Enumerable.Range(0, 8).Select(x => picture[x, 0]));
        Assert.NotEqual(lowest, sheet.Paper);
    }

    [Fact]
    public void AddRow_AnySequence_EqualsPaintingEveryRowFromNothing() =>
        Gen.Select(Gen.Int[1, 30], Gen.Int[1, 12], Gen.Bool, Gen.OneOf(Gen.Double[-20, 120], Gen.Const(double.NaN)).Array[1, 50].Array[0, 30]).Sample((width, height, wide, sweeps) =>
        {
            PixelFormat format = wide ? PixelFormat.Bgra8888 : PixelFormat.Rgb565;
            var rolling = new Picture(width, height, format);
            Painter.Clear(rolling.Surface);
            foreach (double[] sweep in sweeps) Painter.AddRow(sweep, rolling.Surface);

            var whole = new Picture(width, height, format);
            Painter.Clear(whole.Surface);
            for (int row = 0; row < Math.Min(height, sweeps.Length); row++) Painter.PaintRow(sweeps[^(row + 1)], whole.Surface, row);
            return rolling.SamePixels(whole) && rolling.BordersAreUntouched();
        });

    [Fact]
    public void Paint_AnyHistory_EqualsPaintingItFromNothing() =>
        Gen.Select(Gen.Int[1, 5], Gen.Int[1, 3], Gen.Int[1, 9], Gen.Select(Gen.Int[0, 9], Gen.UShort[0, 100]).Array[0, 60]).Sample((depth, rowPixels, height, steps) =>
        {
            var values = new ColumnValues(new VerticalConverter(new VerticalScale(), 4_095));
            var history = new SweepHistory(values, 3, new ValueChoice(Detector.Peak), depth);
            var painter = new HistoryPainter(0, 100, ColourRamp.OnPaper, SheetColours.Light, rowPixels);
            Assert.Equal(rowPixels, painter.RowPixels);
            var picture = new Picture(7, height);
            long number = 0;
            foreach ((int step, ushort code) in steps)
            {
                if (step == 0 && code < 30) history.Clear();
                else if (step == 1) history.StartSection();
                else if (step < 6) Take(history, number++, code);
                else painter.Paint(history, picture.Surface);
            }

            painter.Paint(history, picture.Surface);
            var whole = new Picture(7, height);
            new HistoryPainter(0, 100, ColourRamp.OnPaper, SheetColours.Light, rowPixels).Paint(history, whole.Surface);
            return picture.SamePixels(whole) && picture.BordersAreUntouched() && painter.Paint(history, picture.Surface) == 0;
        }, iter: 1_000);

    [Fact]
    public void Paint_OneNewSweep_PaintsOneRow()
    {
        var history = new SweepHistory(new ColumnValues(new VerticalConverter(new VerticalScale(), 4_095)), 3, new ValueChoice(Detector.Peak), depth: 8);
        var painter = new HistoryPainter(0, 100, ColourRamp.OnPaper, SheetColours.Light);
        var picture = new Picture(3, 4);
        Take(history, 0, 10);
        Take(history, 1, 20);

        Assert.Equal(4, painter.Paint(history, picture.Surface));
        Assert.Equal(0, painter.Paint(history, picture.Surface));
        Take(history, 2, 90);
        Assert.Equal(1, painter.Paint(history, picture.Surface));
        Assert.Equal([ColourRamp.OnPaper.At(0.9), ColourRamp.OnPaper.At(0.2), ColourRamp.OnPaper.At(0.1), SheetColours.Light.Paper],
            Enumerable.Range(0, 4).Select(y => picture[1, y]));
        Allocation.AssertNone(() =>
        {
            painter.Forget();
            painter.Paint(history, picture.Surface);
        });
    }

    // A display that sends its picture only when something has changed must get an empty one, too.
    [Fact]
    public void Paint_EmptyOrClearedHistory_SaysThatThePictureHasChanged()
    {
        var history = new SweepHistory(new ColumnValues(new VerticalConverter(new VerticalScale(), 4_095)), 3, new ValueChoice(Detector.Peak), depth: 8);
        var painter = new HistoryPainter(0, 100, ColourRamp.OnPaper, SheetColours.Light);
        var picture = new Picture(3, 4);

        Assert.Equal(4, painter.Paint(history, picture.Surface));
        Assert.Equal(0, painter.Paint(history, picture.Surface));
        Take(history, 0, 10);
        Assert.Equal(1, painter.Paint(history, picture.Surface));
        history.Clear();
        Assert.Equal(4, painter.Paint(history, picture.Surface));
        Assert.Equal(SheetColours.Light.Paper, picture[1, 0]);
        Assert.Equal(0, painter.Paint(history, picture.Surface));
    }

    [Fact]
    public void Paint_SectionStarts_HasTicksAtBothEdgesInItsLowestRowAndMovesOn()
    {
        var history = new SweepHistory(new ColumnValues(new VerticalConverter(new VerticalScale(), 4_095)), 3, new ValueChoice(Detector.Peak), depth: 8);
        var painter = new HistoryPainter(0, 100, ColourRamp.OnPaper, SheetColours.Light, rowPixels: 2);
        var picture = new Picture(12, 8);
        Take(history, 0, 20);
        Take(history, 1, 20);
        history.StartSection();
        Take(history, 2, 20);
        painter.Paint(history, picture.Surface);

        // Sweeps from the top: 2 (starts section 1), 1, 0 (starts section 0, which differs from nothing), none.
        Assert.Equal([false, true, false, false, false, false, false, false], TicksOf(picture));
        Assert.Equal(["iipp", "ppii"], new[] { 0, 8 }.Select(x => string.Concat(Enumerable.Range(x, 4).Select(at => picture[at, 1] == SheetColours.Light.Ink ? 'i' : picture[at, 1] == SheetColours.Light.Paper ? 'p' : '?'))));
        Assert.All(Enumerable.Range(4, 4), x => Assert.Equal(ColourRamp.OnPaper.At(0.2), picture[x, 1]));
        Take(history, 3, 20);
        painter.Paint(history, picture.Surface);
        Assert.Equal([false, false, false, true, false, false, false, false], TicksOf(picture));
    }

    [Fact]
    public void PaintRow_FallingRange_ShowsWhatIsHighestOnTheScreen()
    {
        var falling = new HistoryPainter(100, 0, ColourRamp.OnPaper, SheetColours.Light);
        var picture = new Picture(1, 1);
        falling.PaintRow([80, 20, 60], picture.Surface, 0);

        Assert.Equal(ColourRamp.OnPaper.At(0.8), picture[0, 0]);
    }

    [Fact]
    public void AddRow_SteadyState_AllocatesNothing()
    {
        var picture = new Picture(50, 20);
        double[] values = new double[100];

        Allocation.AssertNone(() => Painter.AddRow(values, picture.Surface));
    }

    [Fact]
    public void BadArguments_SayValueAndFix()
    {
        Assert.Contains("from 1 to 1", Assert.Throws<ArgumentException>(() => new HistoryPainter(1, 1, ColourRamp.OnPaper, SheetColours.Light)).Message);
        Assert.Throws<ArgumentException>(() => new HistoryPainter(double.NaN, 1, ColourRamp.OnPaper, SheetColours.Light));
        var picture = new Picture(2, 2);
        Assert.Throws<ArgumentException>(() => Painter.PaintRow([], picture.Surface, 0));
        Assert.Throws<ArgumentException>(() => Painter.AddRow([], picture.Surface));
        Assert.Throws<ArgumentOutOfRangeException>(() => Painter.PaintRow([1], picture.Surface, 2));
    }

    private static bool[] TicksOf(Picture picture) => [.. Enumerable.Range(0, picture.Height).Select(y => picture[0, y] == SheetColours.Light.Ink)];

    private static void Take(SweepHistory history, long number, ushort code)
    {
        var columns = new ColumnStatistics(3, []);
        columns.Add(0, code, []);
        columns.Add(1, code, []);
        if (code % 2 == 0) columns.Add(2, (ushort)(code / 2), []);
        SweepTaking taking = history.Take(new SweepInfo { Number = number, StartPosition = number * 100, Complete = true, EndReason = SweepEnd.Retrace }, columns);
        Assert.True(taking is SweepTaking.Taken or SweepTaking.StartedAnew, $"The sweep was not taken: {taking}.");
    }
}
