using Acquire.Imaging.Scenes;
using Acquire.Painting;

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
            else if (item.IsHatched) DrawHatched(canvas, Box.At(Math.Round(x), Math.Round(baseline - letter), Math.Round(width), Math.Round(letter)));
            else canvas.Fill(ScenePath.Rectangle(new Box(x, baseline - letter, x + width, baseline)), item.Colour);
        }, item.Label);
    }

    private static void DrawHatched(Canvas canvas, Box box)
    {
        int columns = (int)box.Width, rows = (int)box.Height;
        byte[] rgba = new byte[columns * rows * 4];
        for (int y = 0; y < rows; y++)
        {
            for (int x = 0; x < columns; x++) HistoryImage.Put(rgba, (y * columns) + x, Hatching.At(x, y, canvas));
        }

        canvas.Add(new ImageElement(box, columns, rows, rgba, "Unfilled"));
        canvas.Frame(box, canvas.Style.Rule, canvas.Metrics.Thin);
    }
}
