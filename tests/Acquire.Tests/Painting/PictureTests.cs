using Acquire.Columns;
using Acquire.Painting;
using Acquire.Scales;
using Acquire.Tests.Doubles;
using Acquire.Traces;

namespace Acquire.Tests.Painting;

/// <summary>Pictures at the size of a display, also there to be looked at (<see cref="Picture.SaveFor"/>).</summary>
public class PictureTests
{
    private const int Columns = 1_000;

    [Theory]
    [InlineData("light", PixelFormat.Bgra8888)]
    [InlineData("light", PixelFormat.Rgb565)]
    [InlineData("dark", PixelFormat.Bgra8888)]
    public void PartialTrace_OfAFilter_HasFreshAndPaleInkAReferenceAndAGap(string sheet, PixelFormat format)
    {
        SheetColours colours = sheet == "light" ? SheetColours.Light : SheetColours.Dark;
        var options = new TracePainterOptions
        {
            Colours = colours,
            Choice = new(Detector.Sample),
            GridRows = [0.2, 0.4, 0.6, 0.8],
            GridColumns = [0.1, 0.3, 0.5, 0.7, 0.9],
        };
        var bench = new TraceBench(Columns);
        var painter = new TracePainter(bench.Values, options);
        var picture = new Picture(800, 300, format);
        painter.SetReference([.. Enumerable.Range(0, Columns).Select(c => 3_300 + (150 * Math.Sin(c / 90.0)))]);
        uint dice = 7;
        Sweep(bench, Columns, shift: 0, ref dice);
        bench.End(reachedEnd: true);
        Sweep(bench, 640, shift: 60, ref dice);
        painter.Paint(bench.Trace, picture.Surface);
        picture.SaveFor($"partial-{sheet}-{format}");

        if (format == PixelFormat.Bgra8888)
        {
            Assert.Contains(colours.Ink, ColoursOf(picture, 0, 512));
            Assert.DoesNotContain(colours.PaleInk, ColoursOf(picture, 0, 512));
            Assert.Contains(colours.PaleInk, ColoursOf(picture, 520, 800));
            Assert.Contains(colours.Reference, ColoursOf(picture, 520, 800));
            Assert.Contains(colours.Wash, ColoursOf(picture, 0, 512));
        }

        for (int y = 150; y < 300; y++) Assert.DoesNotContain(picture[515, y], new[] { colours.Ink, colours.PaleInk, colours.Wash });
    }

    [Theory]
    [InlineData("light")]
    [InlineData("dark")]
    public void MarkedColumns_OfAFilter_AreSeenAndHideNoInk(string sheet)
    {
        SheetColours colours = sheet == "light" ? SheetColours.Light : SheetColours.Dark;
        var options = new TracePainterOptions { Colours = colours, Choice = new(Detector.Sample), GridRows = [0.2, 0.4, 0.6, 0.8], GridColumns = [0.1, 0.3, 0.5, 0.7, 0.9] };
        (Picture marked, Picture plain) = (new(800, 480), new(800, 480));
        foreach (Picture picture in new[] { marked, plain })
        {
            var bench = new TraceBench(Columns);
            uint dice = 7;
            Sweep(bench, Columns, shift: 0, ref dice);
            bench.End(reachedEnd: true);
            Sweep(bench, 700, shift: 60, ref dice, c => picture == plain ? ColumnMarks.None
                : c < 30 ? ColumnMarks.Settling : c is >= 350 and < 450 ? ColumnMarks.Suspect : c >= 660 ? ColumnMarks.Provisional : ColumnMarks.None);
            new TracePainter(bench.Values, options).Paint(bench.Trace, picture.Surface);
        }

        marked.SaveFor($"marks-{sheet}");

        int patterned = 0;
        for (int y = 0; y < 480; y++)
            for (int x = 0; x < 800; x++)
            {
                if (plain[x, y] == colours.Ink) Assert.Equal(colours.Ink, marked[x, y]);
                if (marked[x, y] == colours.Mark) patterned++;
            }

        // An eighth of 80 columns of pixels, less what lies under the line, and the two short patterns.
        Assert.InRange(patterned, 80 * 480 / 8 * 3 / 4, 80 * 480 / 8 * 5 / 4);
    }

    [Theory]
    [InlineData("light")]
    [InlineData("dark")]
    public void History_WithSections_ShowsWhereTheyStart(string sheet)
    {
        bool light = sheet == "light";
        SheetColours colours = light ? SheetColours.Light : SheetColours.Dark;
        var history = new SweepHistory(new ColumnValues(new VerticalConverter(new VerticalScale(), 4_095)), Columns, new ValueChoice(Detector.Peak), depth: 100);
        var painter = new HistoryPainter(0, 4_095, light ? ColourRamp.OnPaper : ColourRamp.OnDark, colours, rowPixels: 3);
        var picture = new Picture(800, 300);
        var columns = new ColumnStatistics(Columns, []);
        uint dice = 3;
        for (int sweep = 0; sweep < 100; sweep++)
        {
            if (sweep is 30 or 70) history.StartSection();
            columns.Clear();
            for (int c = 0; c < Columns; c++) columns.Add(c, CodeOf(c, sweep is >= 30 and < 70 ? 300 : sweep, Noise(ref dice)), []);
            history.Take(new() { Number = sweep, StartPosition = sweep * 100, Complete = true, EndReason = Acquire.Sweeps.SweepEnd.Retrace }, columns);
        }

        painter.Paint(history, picture.Surface);
        picture.SaveFor($"sections-{sheet}");

        Assert.Equal([(29 * 3) + 2, (69 * 3) + 2], Enumerable.Range(0, 300).Where(y => picture[0, y] == colours.Ink));
    }

    [Theory]
    [InlineData("light")]
    [InlineData("dark")]
    public void History_OfADriftingLine_ShowsIt(string sheet)
    {
        bool light = sheet == "light";
        ColourRamp ramp = light ? ColourRamp.OnPaper : ColourRamp.OnDark;
        var painter = new HistoryPainter(0, 4_095, ramp, light ? SheetColours.Light : SheetColours.Dark);
        var picture = new Picture(800, 200);
        double[] values = new double[Columns];
        uint dice = 3;
        painter.Clear(picture.Surface);
        for (int sweep = 0; sweep < 180; sweep++)
        {
            for (int c = 0; c < Columns; c++)
                values[c] = sweep is >= 60 and < 70 && c > 600 ? double.NaN : CodeOf(c, sweep, Noise(ref dice));
            painter.AddRow(values, picture.Surface);
        }

        picture.SaveFor($"history-{sheet}");

        // The line lies where the last sweep has it, at the top, and is far from the floor in lightness.
        double line = picture[(200 + 179) * 800 / Columns, 0].ToOkLab().L;
        double floor = picture[700, 0].ToOkLab().L;
        Assert.True(Math.Abs(line - floor) > 0.3, $"Line {line:F2}, floor {floor:F2}.");
    }

    [Fact]
    public void Ramps_SideBySide_AreAllThere()
    {
        var picture = new Picture(512, 80);
        for (int x = 0; x < 512; x++)
        {
            picture.Surface.Slice(x, 0, 1, 40).Fill(ColourRamp.OnPaper.Colours[x / 2]);
            picture.Surface.Slice(x, 40, 1, 40).Fill(ColourRamp.OnDark.Colours[x / 2]);
        }

        picture.SaveFor("ramps");

        Assert.Equal(256, ColourRamp.OnPaper.Colours.ToArray().Distinct().Count());
        Assert.Equal(256, ColourRamp.OnDark.Colours.ToArray().Distinct().Count());
    }

    private static void Sweep(TraceBench bench, int end, int shift, ref uint dice, Func<int, ColumnMarks>? marksOf = null)
    {
        bench.Begin();
        for (int c = 0; c < end; c++)
        {
            bench.Marks = marksOf?.Invoke(c) ?? ColumnMarks.None;
            bench.Trace.AdvanceFront(c);
            bench.Publish(c, CodeOf(c, shift, Noise(ref dice)), CodeOf(c, shift, Noise(ref dice)), CodeOf(c, shift, Noise(ref dice)));
        }

        bench.Trace.EndPublish();
    }

    private static ushort CodeOf(int column, int shift, double noise)
    {
        double away = (column - 200 - shift) / 25.0;
        double hump = (column - 600) / 160.0;
        return (ushort)Math.Clamp(500 + (2_900 / (1 + (away * away))) + (900 / (1 + Math.Pow(hump, 6))) + (noise * 110), 0, 4_095);
    }

    private static double Noise(ref uint dice)
    {
        double sum = -3;
        for (int i = 0; i < 6; i++)
        {
            dice = (dice * 1_664_525) + 1_013_904_223;
            sum += dice / (double)uint.MaxValue;
        }

        return sum;
    }

    private static HashSet<Colour> ColoursOf(Picture picture, int fromX, int endX)
    {
        var found = new HashSet<Colour>();
        for (int y = 0; y < picture.Height; y++)
            for (int x = fromX; x < endX; x++) found.Add(picture[x, y]);
        return found;
    }
}
