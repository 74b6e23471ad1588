using Acquire.Imaging.Charts;
using Acquire.Imaging.Layout;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Sheets;

/// <summary>Draws two recordings over one axis, and their difference below.</summary>
internal sealed class ComparisonSheet(Canvas canvas, ComparisonChart chart) : ISheet
{
    private readonly SheetMetrics _m = canvas.Metrics;
    private readonly SheetStyle _style = canvas.Style;
    private readonly double _resolution = MarkerTable.Resolution(chart.Positions);
    private readonly double[] _difference = chart.Difference ?? [.. chart.First.Zip(chart.Second, static (a, b) => a - b)];

    public SideContent Side() => new()
    {
        Legend =
        [
            new(chart.FirstName, FirstPens.Colour, FirstPens.Width),
            new(chart.SecondName, SecondPens.Colour, SecondPens.Width, SecondPens.Dash),
        ],
        Tables = chart.Markers.Count == 0 ? [] : [MarkerTable.Of(chart.Markers, AxisNames.Unit(chart.XUnit), AxisNames.Unit(chart.YUnit), _resolution, (YRange.High - YRange.Low) / 20_000)],
        Remarks = Remarks(),
    };

    public void Draw(Box area, bool isCompact)
    {
        double split = Math.Round(area.Top + (area.Height * (isCompact ? 0.56 : 0.62)));
        Box upper = area with { Bottom = split }, lower = area with { Top = split };
        // Both fields begin at the same x, so the wider numbers decide for both.
        double numbers = Math.Max(UpperFrame(upper, isCompact, null).NumberWidth(), LowerFrame(lower, isCompact, null).NumberWidth());
        PlotFrame top = UpperFrame(upper, isCompact, numbers), bottom = LowerFrame(lower, isCompact, numbers);

        top.DrawGrid();
        var ink = new InkMap(top.Field);
        var lines = new LinePainter(canvas, top, chart.Positions);
        ink.AddLine(lines.Draw(chart.SecondName, chart.Second, static _ => true, static _ => LineManner.Sure, SecondPens));
        ink.AddLine(lines.Draw(chart.FirstName, chart.First, static _ => true, static _ => LineManner.Sure, FirstPens));
        top.DrawAxes();
        List<Box> taken = [.. chart.Markers.Where(m => double.IsFinite(m.Value)).Select(m => Dot(top, m))];
        new BalloonPainter(canvas, top, ink, taken).Draw(chart.Markers);

        bottom.DrawGrid();
        if (bottom.Y is { Low: < 0, High: > 0 }) canvas.Rule(bottom.Field.Left, bottom.Y.At(0), bottom.Field.Right, bottom.Y.At(0), _style.Rule, _m.Thin);
        new LinePainter(canvas, bottom, chart.Positions).Draw("Difference", _difference, static _ => true, static _ => LineManner.Sure, FirstPens);
        bottom.DrawAxes();
    }

    private LinePens FirstPens => new(_style.Trace, _m.TracePen);

    private LinePens SecondPens => new(_style.Reference, Math.Max(1.2, _m.TracePen * 0.85)) { Dash = [_m.TracePen * 6, _m.TracePen * 2.2] };

    private ChartRange YRange => chart.YRange ?? ValueRange.Around([chart.First, chart.Second], chart.Markers.Count > 0 ? 0.06 : 0);

    private string DifferenceUnit => chart.DifferenceUnit ?? (chart.YUnit.StartsWith("dB", StringComparison.Ordinal) ? "dB" : chart.YUnit);

    private PlotFrame UpperFrame(Box area, bool isCompact, double? numberWidth)
    {
        ChartRange x = ValueRange.OfColumns(chart.Positions), y = YRange;
        var labels = new PlotLabels
        {
            XUnit = AxisNames.Unit(chart.XUnit),
            YUnit = AxisNames.Unit(chart.YUnit),
            YTitle = AxisNames.Y(chart),
            ShowsXNumbers = false,
            Dense = isCompact,
            YNumberWidth = numberWidth,
        };
        return new PlotFrame(canvas, area, labels, x.Low, x.High, y.Low, y.High);
    }

    private PlotFrame LowerFrame(Box area, bool isCompact, double? numberWidth)
    {
        ChartRange x = ValueRange.OfColumns(chart.Positions), y = ValueRange.Around([_difference, [0]], 0);
        var labels = new PlotLabels
        {
            XUnit = AxisNames.Unit(chart.XUnit),
            YUnit = AxisNames.Unit(DifferenceUnit),
            XTitle = AxisNames.X(chart),
            YTitle = "Difference",
            XTitleOnTop = isCompact,
            Dense = isCompact,
            YNumberWidth = numberWidth,
        };
        return new PlotFrame(canvas, area, labels, x.Low, x.High, y.Low, y.High);
    }

    private Box Dot(PlotFrame frame, ChartMarker marker)
    {
        double x = frame.X.At(marker.Position), y = frame.Y.At(marker.Value);
        return new Box(x, y, x, y).Inflate(_m.Small * 0.5);
    }

    private List<string> Remarks()
    {
        string subtraction = $"Difference: {chart.FirstName} minus {chart.SecondName}.";
        int largest = -1;
        for (int i = 0; i < _difference.Length; i++)
        {
            if (double.IsFinite(_difference[i]) && (largest < 0 || Math.Abs(_difference[i]) > Math.Abs(_difference[largest]))) largest = i;
        }

        if (largest < 0) return [subtraction, "No column is filled in both."];
        string value = MarkerTable.Value(_difference[largest], AxisNames.Unit(DifferenceUnit), Math.Abs(_difference[largest]) / 1_000);
        return [subtraction, $"Largest: {value} at {Quantity.Resolved(chart.Positions[largest], AxisNames.Unit(chart.XUnit), _resolution)}."];
    }
}
