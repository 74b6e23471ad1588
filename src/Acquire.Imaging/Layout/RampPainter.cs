using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Layout;

/// <summary>Draws which value has which colour.</summary>
internal sealed class RampPainter(Canvas canvas)
{
    public static double WideHeight(SheetMetrics m) => Math.Ceiling(m.Normal * 5.6);

    /// <summary>A bar with numbers under it and its name above.</summary>
    public void DrawWide(RampScale ramp, double left, double top, double width)
    {
        SheetMetrics m = canvas.Metrics;
        AxisTicks ticks = AxisTicks.Plan(ramp.Low, ramp.High, ramp.Unit, width, double.MaxValue, label => Letterer.Measure(label, m.Small) + (m.Small * 1.6));
        double half = ticks.Ticks.Count == 0 ? 0 : ticks.Ticks.Max(t => Letterer.Measure(t.Label, m.Small)) / 2;
        var bar = new Box(Math.Round(left + half), Math.Round(top + (m.Normal * 1.9)), Math.Round(left + width - half), Math.Round(top + (m.Normal * 3.1)));
        canvas.Text(ticks.Unit.Length == 0 ? ramp.Name : $"{ramp.Name} in {ticks.Unit}", bar.Left, top + (m.Normal * 1.35), m.Small, canvas.Style.SoftInk);
        DrawBar(ramp, bar);
        var axis = new Axis(ramp.Low, ramp.High, bar.Left, bar.Right);
        foreach (Tick tick in ticks.Ticks)
        {
            double x = axis.At(tick.Value);
            canvas.Rule(x, bar.Bottom, x, bar.Bottom + (m.Small * 0.45), canvas.Style.Rule, m.Thin);
            canvas.Text(tick.Label, x, bar.Bottom + (m.Small * 1.8), m.Small, canvas.Style.Ink, Align.Centre);
        }
    }

    /// <summary>A bar between its two ends' values, in running text.</summary>
    public void AddTo(Flow flow, RampScale ramp)
    {
        double letter = canvas.Metrics.Small, width = letter * 14;
        flow.Add(ramp.Name, Quantity.Significant(ramp.Low, ramp.Unit, 4));
        flow.AddSample(width, (x, baseline) => DrawBar(ramp, new Box(Math.Round(x), Math.Round(baseline - letter), Math.Round(x + width), Math.Round(baseline))),
            Quantity.Significant(ramp.High, ramp.Unit, 4));
    }

    private void DrawBar(RampScale ramp, Box bar)
    {
        int columns = Math.Max(1, (int)bar.Width);
        byte[] rgba = new byte[columns * 4];
        for (int x = 0; x < columns; x++)
        {
            HistoryImage.Put(rgba, x, ramp.Ramp.At((x + 0.5) / columns));
        }

        canvas.Add(new ImageElement(bar, columns, 1, rgba, $"Colours of {ramp.Name}"));
        canvas.Frame(bar, canvas.Style.Rule, canvas.Metrics.Thin);
    }
}
