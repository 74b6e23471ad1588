using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Layout;

/// <summary>One field of a chart with its two axes: where it lies, its grid, its numbers.</summary>
internal sealed class PlotFrame
{
    // More numbers than this up an axis are noise, however tall the sheet.
    private const double MostNumbers = 20;

    private readonly Canvas _canvas;
    private readonly AxisTicks _xTicks, _yTicks;
    private readonly PlotLabels _labels;

    public PlotFrame(Canvas canvas, Box area, PlotLabels labels, double xLow, double xHigh, double yLow, double yHigh)
    {
        _canvas = canvas;
        _labels = labels;
        SheetMetrics m = canvas.Metrics;
        double below = (labels.ShowsXNumbers ? m.Small * 2.3 : m.Small * 0.6) + (labels.XTitle is not null && !labels.XTitleOnTop ? m.Small * 1.9 : 0);
        double top = area.Top + (labels.YTitle is null ? m.Small * 0.8 : m.Small * 2.2), bottom = area.Bottom - below;

        // The numbers' width decides the field's edges, the field's height decides the numbers: heights come first, as they do not depend on widths.
        _yTicks = AxisTicks.Plan(yLow, yHigh, labels.YUnit, bottom - top, Math.Max(6, m.Small * 0.9), _ => Math.Max(m.Small * (labels.Dense ? 2.2 : 3.4), (bottom - top) / MostNumbers));
        double yWidth = labels.YNumberWidth ?? NumberWidth();
        double left = area.Left + Math.Max(yWidth + (m.Small * 1.1), m.Small * 2), right = area.Right - (m.Small * 2);
        _xTicks = PlanX(left, right);
        // A number at the very end of the axis reaches beyond it by half its width; a field without numbers keeps in line with the one below it.
        double overhang = Overhang(left, right) - (area.Right - (m.Small * 0.3));
        if (overhang > 0)
        {
            right -= overhang + 1;
            _xTicks = PlanX(left, right);
        }

        Field = new Box(Math.Round(left), Math.Round(top), Math.Round(right), Math.Round(bottom));
        X = new Axis(xLow, xHigh, Field.Left, Field.Right);
        Y = labels.YDownwards ? new Axis(yLow, yHigh, Field.Top, Field.Bottom) : new Axis(yLow, yHigh, Field.Bottom, Field.Top);

        AxisTicks PlanX(double from, double to) =>
            AxisTicks.Plan(xLow, xHigh, labels.XUnit, to - from, Math.Max(6, m.Small * 0.9), label => Letterer.Measure(label, m.Small) + (m.Small * (labels.Dense ? 2 : 4)));

        double Overhang(double from, double to) =>
            _xTicks.Ticks.Count == 0 ? 0 : new Axis(xLow, xHigh, from, to).At(_xTicks.Ticks[^1].Value) + (Letterer.Measure(_xTicks.Ticks[^1].Label, m.Small) / 2);
    }

    public Box Field { get; }

    public Axis X { get; }

    public Axis Y { get; }

    /// <summary>Width of the widest number of the vertical axis.</summary>
    public double NumberWidth() => _yTicks.Ticks.Count == 0 ? 0 : _yTicks.Ticks.Max(t => Letterer.Measure(t.Label, _canvas.Metrics.Small));

    public void DrawGrid()
    {
        SheetStyle style = _canvas.Style;
        double thin = _canvas.Metrics.Thin;
        _canvas.Group("Grid", () =>
        {
            foreach (double x in _xTicks.Fine) _canvas.Rule(X.At(x), Field.Top, X.At(x), Field.Bottom, style.FineGrid, thin);
            foreach (double y in _yTicks.Fine) _canvas.Rule(Field.Left, Y.At(y), Field.Right, Y.At(y), style.FineGrid, thin);
            foreach (Tick tick in _xTicks.Ticks) _canvas.Rule(X.At(tick.Value), Field.Top, X.At(tick.Value), Field.Bottom, style.Grid, thin);
            foreach (Tick tick in _yTicks.Ticks) _canvas.Rule(Field.Left, Y.At(tick.Value), Field.Right, Y.At(tick.Value), style.Grid, thin);
        });
    }

    public void DrawAxes()
    {
        SheetMetrics m = _canvas.Metrics;
        SheetStyle style = _canvas.Style;
        double tickLength = m.Small * 0.45;
        _canvas.Group("Axes", () =>
        {
            _canvas.Frame(Field, style.Rule, m.Medium);
            foreach (Tick tick in _yTicks.Ticks)
            {
                double y = Y.At(tick.Value);
                _canvas.Rule(Field.Left - tickLength, y, Field.Left, y, style.Rule, m.Thin);
                _canvas.Text(tick.Label, Field.Left - (m.Small * 0.9), y + (m.Small / 2), m.Small, style.Ink, Align.Right);
            }

            if (_labels.YTitle is { } yTitle) _canvas.Text(WithUnit(yTitle, _yTicks), Field.Left, Field.Top - (m.Small * 0.7), m.Small, style.SoftInk);
            DrawXNumbers(tickLength);
        });
    }

    private void DrawXNumbers(double tickLength)
    {
        SheetMetrics m = _canvas.Metrics;
        SheetStyle style = _canvas.Style;
        double baseline = Field.Bottom + (m.Small * 1.8);
        foreach (Tick tick in _xTicks.Ticks)
        {
            double x = X.At(tick.Value);
            _canvas.Rule(x, Field.Bottom, x, Field.Bottom + tickLength, style.Rule, m.Thin);
            if (_labels.ShowsXNumbers) _canvas.Text(tick.Label, x, baseline, m.Small, style.Ink, Align.Centre);
        }

        if (_labels.XTitle is not { } xTitle) return;
        string text = WithUnit(xTitle, _xTicks);
        if (_labels.XTitleOnTop) _canvas.Text(text, Field.Right, Field.Top - (m.Small * 0.7), m.Small, style.SoftInk, Align.Right);
        else _canvas.Text(text, Field.CentreX, baseline + (m.Small * 1.9), m.Small, style.SoftInk, Align.Centre);
    }

    private static string WithUnit(string name, AxisTicks ticks)
    {
        string title = ticks.Unit.Length == 0 ? name : $"{name} in {ticks.Unit}";
        return ticks.OriginText.Length == 0 ? title : $"{title}, counted from {ticks.OriginText}";
    }
}
