using Acquire.Painting;
using Acquire.Tests.Doubles;
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
}
