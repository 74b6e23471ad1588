using Acquire.Imaging.Charts;
using Acquire.Imaging.Scenes;
using Acquire.Imaging.Tests.Doubles;

namespace Acquire.Imaging.Tests.Sheets;

public class TracePixelTests
{
    private static readonly SheetStyle s_style = SheetStyle.LightPaper;

    public static TheoryData<int, int, int> Sizes => new() { { 480, 272, 300 }, { 800, 480, 1_000 }, { 1600, 1000, 1_000 }, { 1600, 1000, 101 }, { 1600, 1000, 4_096 } };

    [Theory]
    [MemberData(nameof(Sizes))]
    public void WritePng_WholeTrace_RunsWhereTheDataSaysWithinOnePixel(int width, int height, int columns)
    {
        (Scene scene, TraceChart chart) = Sheet(width, height, columns, i => -40 + (25 * Math.Sin(i * 9.0 / columns)) + (i > columns / 2 ? 12 : 0));
        Picture picture = Picture.Of(scene);
        Box field = Field(scene);
        double pen = Pen(scene, chart.TraceName);
        Func<double, double> centre = Course(chart, field);

        int first = (int)Math.Ceiling(X(chart, field, 0)) + 2, last = (int)Math.Floor(X(chart, field, columns - 1)) - 2;
        for (int x = first; x <= last; x++)
        {
            // One pixel either way, up and down as well as to the sides, where the trace is steep.
            (double Top, double Bottom)[] reach = [.. ((double[])[-1, -0.5, 0, 0.5, 1]).Select(dx => PenReach(centre, x + 0.5 + dx, pen / 2, X(chart, field, 0), X(chart, field, columns - 1)))];
            double topMost = reach.Min(r => r.Top) - 1, topLeast = reach.Max(r => r.Top) + 1, bottomLeast = reach.Min(r => r.Bottom) - 1, bottomMost = reach.Max(r => r.Bottom) + 1;
            List<int> inked = [.. Enumerable.Range((int)field.Top + 2, (int)field.Height - 4).Where(y => picture.Coverage(x, y, s_style.Paper, s_style.Trace) > 0.5)];
            Assert.True(inked.Count > 0, $"no ink in pixel column {x}; expected between {topMost:F2} and {bottomMost:F2}");
            Assert.True(inked[0] >= topMost && inked[0] <= topLeast, $"column {x}: ink begins at {inked[0]}, expected {topMost:F2}..{topLeast:F2}");
            Assert.True(inked[^1] + 1 >= bottomLeast && inked[^1] + 1 <= bottomMost, $"column {x}: ink ends at {inked[^1] + 1}, expected {bottomLeast:F2}..{bottomMost:F2}");
            // A step between two pixel columns is shared by both, so its middle may be pale, but never missing.
            Assert.All(Enumerable.Range(inked[0], inked[^1] - inked[0]), y => Assert.True(picture.Coverage(x, y, s_style.Paper, s_style.Trace) > 0.2, $"hole at {x}, {y}"));
        }
    }

    [Fact]
    public void WritePng_UnfilledColumns_AreAGapAndALoneColumnIsSeen()
    {
        (Scene scene, TraceChart chart) = Sheet(1600, 1000, 200, i => i is > 50 and < 80 or (> 80 and < 120) ? double.NaN : -30);
        Picture picture = Picture.Of(scene);
        Box field = Field(scene);

        Assert.True(IsInked(X(chart, field, 50)));
        Assert.False(IsInked(X(chart, field, 65)));
        Assert.True(IsInked(X(chart, field, 80)), "a filled column between unfilled ones is drawn");
        Assert.False(IsInked(X(chart, field, 100)));
        Assert.True(IsInked(X(chart, field, 120)));

        bool IsInked(double x) => Enumerable.Range((int)field.Top + 2, (int)field.Height - 4).Any(y => picture.Coverage((int)x, y, s_style.Paper, s_style.Trace) > 0.5);
    }

    // An unconnected input reads nothing but zeros, and a recording less itself is nothing else.
    [Fact]
    public void Render_TraceOfZeros_IsALineOverAScale()
    {
        double[] positions = SampleSheets.Positions(200);
        TraceChart chart = new() { Positions = positions, Values = new double[200] };

        Scene scene = ChartSheet.Render(SampleSheets.Sheet(chart), SheetSize.Page);

        Box field = Field(scene), line = scene.Elements.OfType<GroupElement>().First(g => g.Title == chart.TraceName).Children.OfType<StrokeElement>().First().Path.Bounds();
        TextElement zero = Assert.Single(scene.Texts(), t => t.Text is "0.000" && t.Box.Right < field.Left);
        Assert.Equal(zero.Box.CentreY, line.CentreY, 1.0);
        Assert.InRange(line.CentreY, field.Top, field.Bottom);
    }

    [Fact]
    public void WritePng_PartialTrace_FreshIsFullInkOlderIsPaleAndTheFrontIsAGap()
    {
        TraceChart chart = SampleSheets.Partial(front: 430) with { Reference = null };
        Scene scene = ChartSheet.Render(SampleSheets.Sheet(chart), SheetSize.Page);
        Picture picture = Picture.Of(scene);
        Box field = Field(scene);

        Assert.True(Darkest(X(chart, field, 429) - 3) > 0.8, "fresh columns reach the front in full ink");
        Assert.True(Darkest(X(chart, field, 430) + 6) < 0.3, "nothing but grid right after the front");
        double older = Darkest(X(chart, field, 600));
        Assert.InRange(older, 0.4, 0.7);

        double Darkest(double x) => Enumerable.Range((int)field.Top + 20, (int)field.Height - 24).Max(y => picture.Coverage((int)x, y, s_style.Paper, s_style.Trace));
    }

    [Fact]
    public void WritePng_PartialTraceOnTheWayBack_IsFreshBehindTheFrontThatMovesDown()
    {
        TraceChart up = SampleSheets.Partial(front: 430) with { Reference = null };
        TraceChart chart = up with { FrontMovesDown = true, Values = up.OlderValues!, OlderValues = [.. up.OlderValues!.Select((v, i) => i < 500 ? v : double.NaN)] };
        Scene scene = ChartSheet.Render(SampleSheets.Sheet(chart), SheetSize.Page);
        Picture picture = Picture.Of(scene);
        Box field = Field(scene);

        Assert.True(Darkest(X(chart, field, 431) + 3) > 0.8, "fresh columns reach the front in full ink");
        Assert.True(Darkest(X(chart, field, 430) - 6) < 0.3, "nothing but grid right ahead of the front");
        Assert.InRange(Darkest(X(chart, field, 260)), 0.4, 0.7);
        Assert.True(Darkest(X(chart, field, 600)) > 0.8, "fresh to the last column");

        double Darkest(double x) => Enumerable.Range((int)field.Top + 20, (int)field.Height - 24).Max(y => picture.Coverage((int)x, y, s_style.Paper, s_style.Trace));
    }

    [Fact]
    public void Render_ColumnsWithoutInput_AreNotCalledUnfilled()
    {
        double[] positions = SampleSheets.Positions(100), values = [.. positions.Select((_, i) => i < 30 ? double.NegativeInfinity : i < 40 ? double.NaN : -10.0)];
        TraceChart chart = new() { Positions = positions, Values = values, Markers = [new ChartMarker { Name = "A", Position = positions[0], Value = values[0] }] };

        Scene scene = ChartSheet.Render(SampleSheets.Sheet(chart), SheetSize.Page);

        Assert.Contains(scene.Texts(), t => t.Text is "10 of 100 columns unfilled.");
        Assert.Contains(scene.Texts(), t => t.Text is "30 of 100 columns without input, infinitely far down.");
        Assert.Contains(scene.Texts(), t => t.Text is "no input");
    }

    // A beam that draws leftwards fills from the right: what stands on its left is of the sweep before.
    [Fact]
    public void Render_OlderColumnsWithoutAFront_AreNotCalledUnfilled()
    {
        double[] positions = SampleSheets.Positions(100);
        double[] fresh = [.. positions.Select((_, i) => i < 60 ? double.NaN : 1.0)], older = [.. positions.Select((_, i) => i is < 10 or >= 60 ? double.NaN : 2.0)];

        Scene scene = ChartSheet.Render(SampleSheets.Sheet(new TraceChart { Positions = positions, Values = fresh, OlderValues = older }), SheetSize.Page);

        Assert.Contains(scene.Texts(), t => t.Text is "10 of 100 columns unfilled.");
    }

    [Fact]
    public void WritePng_FallingPositions_GivesTheSamePictureAsRisingOnes()
    {
        double[] positions = SampleSheets.Positions(300), values = SampleSheets.Values(positions);
        TraceChart rising = new() { Positions = positions, Values = values };
        TraceChart falling = new() { Positions = [.. positions.Reverse()], Values = [.. values.Reverse()] };

        Picture a = Picture.Of(ChartSheet.Render(SampleSheets.Sheet(rising), SheetSize.Page)), b = Picture.Of(ChartSheet.Render(SampleSheets.Sheet(falling), SheetSize.Page));

        for (int y = 0; y < a.Height; y++)
        {
            // The rasteriser rounds a line drawn backwards a little differently; a tenth of full ink is not seen.
            for (int x = 0; x < a.Width; x++) Assert.True(Math.Abs(a.At(x, y).Red - b.At(x, y).Red) <= 25, $"pixel {x}, {y}: red {a.At(x, y).Red} and {b.At(x, y).Red}");
        }
    }

    [Fact]
    public void Render_AxisNumbers_StandWhereTheirValuesAre()
    {
        (Scene scene, TraceChart chart) = Sheet(1600, 1000, 500, i => -40);
        Box field = Field(scene);

        TextElement ten = Assert.Single(scene.Texts(), t => t.Text is "10" && t.Box.Top > field.Bottom && t.Box.Bottom < field.Bottom + 20);
        TextElement minusTwenty = Assert.Single(scene.Texts(), t => t.Text is "−20" && t.Box.Right < field.Left);

        Assert.Equal(field.Left + ((10_000 - 5_000) / 50_000.0 * field.Width), ten.Box.CentreX, 1.0);
        Assert.Equal(field.Bottom - ((-20 + 80) / 80.0 * field.Height), minusTwenty.Box.CentreY, 1.0);
        Assert.Equal(500, chart.Values.Length);
    }

    private static (Scene, TraceChart) Sheet(int width, int height, int columns, Func<int, double> value)
    {
        var chart = new TraceChart { Positions = SampleSheets.Positions(columns), Values = [.. Enumerable.Range(0, columns).Select(value)], YRange = new ChartRange(-80, 0) };
        return (ChartSheet.Render(SampleSheets.Sheet(chart), new SheetSize(width, height)), chart);
    }

    // The field is the frame of the axes, drawn with its middle on the edge to within half a pixel.
    private static Box Field(Scene scene)
    {
        GroupElement axes = Assert.Single(scene.Elements.OfType<GroupElement>(), g => g.Title is "Axes");
        Box frame = axes.Children.OfType<StrokeElement>().First(s => s.Path.Steps.Count == 5).Path.Bounds();
        return new Box(Math.Floor(frame.Left), Math.Floor(frame.Top), Math.Floor(frame.Right), Math.Floor(frame.Bottom));
    }

    private static double Pen(Scene scene, string line) =>
        scene.Elements.OfType<GroupElement>().First(g => g.Title == line).Children.OfType<StrokeElement>().First().Width;

    private static double X(TraceChart chart, Box field, int column) => field.Left + ((column + 0.5) / chart.Positions.Length * field.Width);

    private static Func<double, double> Course(TraceChart chart, Box field) => x =>
    {
        double column = ((x - field.Left) / field.Width * chart.Positions.Length) - 0.5;
        int before = Math.Clamp((int)Math.Floor(column), 0, chart.Values.Length - 2);
        double value = chart.Values[before] + ((column - before) * (chart.Values[before + 1] - chart.Values[before]));
        return field.Bottom - ((value + 80) / 80 * field.Height);
    };

    // Upper and lower edge of what a round pen covers over the middle of a pixel column.
    private static (double Top, double Bottom) PenReach(Func<double, double> centre, double middle, double radius, double from, double to)
    {
        double top = double.MaxValue, bottom = double.MinValue;
        for (double dx = -radius; dx <= radius; dx += radius / 200)
        {
            if (middle + dx < from || middle + dx > to) continue;
            double y = centre(middle + dx), reach = Math.Sqrt(Math.Max(0, (radius * radius) - (dx * dx)));
            top = Math.Min(top, y - reach);
            bottom = Math.Max(bottom, y + reach);
        }

        return (top, bottom);
    }
}
