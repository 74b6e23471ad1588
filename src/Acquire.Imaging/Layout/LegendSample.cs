using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Layout;

/// <summary>Adds legend lines to running text.</summary>
internal static class LegendSample
{
    public static void Add(Flow flow, Canvas canvas, LegendItem item, double letter)
    {
        double width = letter * 3.2;
        flow.AddSample(width, (x, baseline) =>
        {
            double middle = Math.Floor(baseline - (letter / 2)) + 0.5;
            if (item.Width > 0) canvas.Stroke(ScenePath.Line(x + (item.Width / 2), middle, x + width - (item.Width / 2), middle), item.Colour, item.Width, item.Dash);
            else canvas.Fill(ScenePath.Rectangle(new Box(x, baseline - letter, x + width, baseline)), item.Colour);
        }, item.Label);
    }
}
