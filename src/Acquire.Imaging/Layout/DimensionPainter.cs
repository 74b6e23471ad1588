using Acquire.Imaging.Charts;
using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Layout;

/// <summary>Draws a measured bandwidth as a dimension: extension lines, arrows, the measure above the line.</summary>
internal sealed class DimensionPainter(Canvas canvas, PlotFrame frame, InkMap ink, List<Box> taken)
{
    /// <summary>Draws one bandwidth.</summary>
    /// <param name="bandwidth">What was measured.</param>
    /// <param name="valueAt">The trace's value at a position; NaN where it has none.</param>
    /// <param name="unit">Unit of the positions.</param>
    /// <param name="resolution">Steps of the positions that are worth printing.</param>
    public void Draw(ChartBandwidth bandwidth, Func<double, double> valueAt, string unit, double resolution)
    {
        double left = frame.X.At(bandwidth.Lower), right = frame.X.At(bandwidth.Upper);
        double leftValue = valueAt(bandwidth.Lower), rightValue = valueAt(bandwidth.Upper);
        if (!(left >= frame.Field.Left && right <= frame.Field.Right && left < right) || double.IsNaN(leftValue) || double.IsNaN(rightValue)) return;
        double leftY = Math.Clamp(frame.Y.At(leftValue), frame.Field.Top, frame.Field.Bottom), rightY = Math.Clamp(frame.Y.At(rightValue), frame.Field.Top, frame.Field.Bottom);
        string text = $"{Quantity.Resolved(bandwidth.Upper - bandwidth.Lower, unit, resolution)} at {Quantity.Number(bandwidth.LevelDb, 2)}\u00A0dB";
        canvas.Group($"Bandwidth {text}", () =>
        {
            if (FindPlace(left, right, leftY, rightY, valueAt((bandwidth.Lower + bandwidth.Upper) / 2) > Math.Max(leftValue, rightValue), text) is { } place) DrawAt(place, left, right, leftY, rightY, text);
        });
    }

    // Inside a notch the room is above the edges, inside a peak below them; the other side is tried next.
    private Place? FindPlace(double left, double right, double leftY, double rightY, bool isPeak, string text)
    {
        double letter = canvas.Metrics.Small, width = Letterer.Measure(text, letter), pitch = letter * 1.1;
        double above = Math.Min(leftY, rightY), below = Math.Max(leftY, rightY);
        Box inside = frame.Field.Inflate(-letter * 0.6);
        bool fits = width + (letter * 3) < right - left;
        List<Place> up = [], down = [];
        for (double y = above - (letter * 1.2); y > inside.Top; y -= pitch) up.Add(new Place(y, default, fits));
        for (double y = below + (letter * (isPeak ? 1.2 : 2.6)); y < inside.Bottom; y += pitch) down.Add(new Place(y, default, fits));
        Place? best = null;
        int leastCrossings = int.MaxValue;
        foreach (Place place in isPeak ? [.. down, .. up] : (Place[])[.. up, .. down])
        {
            foreach (double x in fits ? (double[])[(left + right) / 2] : [right + (letter * 2.6) + (width / 2), left - (letter * 2.6) - (width / 2)])
            {
                double foot = fits ? place.LineY - (letter * 0.5) : place.LineY + (letter / 2);
                var box = new Box(x - (width / 2), foot - (letter * 1.15), x + (width / 2), foot + (letter * 0.35));
                Box needed = box.Inflate(letter * 0.35);
                if (!inside.Contains(box) || taken.Exists(t => t.Overlaps(needed)) || IsCrossed(left, leftY, place.LineY) || IsCrossed(right, rightY, place.LineY)) continue;
                var line = new Box(fits ? left : left - (letter * 2), place.LineY - (letter * 0.3), fits ? right : right + (letter * 2), place.LineY + (letter * 0.3));
                // The line itself may cross the trace at its ends only, where the extension lines meet it.
                int crossings = ink.CrossingColumns(needed) + (fits ? ink.CrossingColumns(line) : 0);
                if (crossings == 0) return place with { Text = box };
                if (crossings < leastCrossings) (leastCrossings, best) = (crossings, place with { Text = box });
            }
        }

        return best;
    }

    // Whether an extension line would run through a text or another line.
    private bool IsCrossed(double x, double from, double to)
    {
        double start = from + (Math.Sign(to - from) * canvas.Metrics.Small);
        return taken.Exists(t => t.Width > canvas.Metrics.Small && t.IsCrossedBy(x, start, x, to));
    }

    private void DrawAt(Place place, double left, double right, double leftY, double rightY, string text)
    {
        double letter = canvas.Metrics.Small, pen = canvas.Metrics.Medium, arrow = letter * 1.15, y = place.LineY;
        Colour inkColour = canvas.Style.Ink;
        Extend(left, leftY, y);
        Extend(right, rightY, y);
        double outside = letter * 2;
        if (place.Fits) canvas.Rule(left, y, right, y, inkColour, pen);
        else
        {
            canvas.Rule(left - outside, y, left, y, inkColour, pen);
            canvas.Rule(right, y, right + outside, y, inkColour, pen);
        }

        Arrow(left, y, place.Fits ? arrow : -arrow);
        Arrow(right, y, place.Fits ? -arrow : arrow);
        Box drawn = canvas.Text(text, place.Text.CentreX, place.Text.Bottom - (letter * 0.35), letter, inkColour, Align.Centre, onPaper: true);
        taken.Add(drawn);
        taken.Add(new Box(Math.Min(left - (place.Fits ? 0 : outside), drawn.Left), y - (letter * 0.5), Math.Max(right + (place.Fits ? 0 : outside), drawn.Right), y + (letter * 0.5)));
    }

    private void Extend(double x, double from, double to)
    {
        double letter = canvas.Metrics.Small, way = Math.Sign(to - from);
        canvas.Rule(x, from + (way * letter * 0.5), x, to + (way * letter * 0.5), canvas.Style.Ink, canvas.Metrics.Thin);
        taken.Add(new Box(x - canvas.Metrics.Thin, Math.Min(from, to), x + canvas.Metrics.Thin, Math.Max(from, to)));
    }

    private void Arrow(double x, double y, double length)
    {
        double half = Math.Abs(length) * 0.16;
        double at = Math.Floor(y) + 0.5;
        canvas.Fill(new ScenePath().MoveTo(x, at).LineTo(x + length, at - half).LineTo(x + length, at + half).Close(), canvas.Style.Ink);
    }

    private readonly record struct Place(double LineY, Box Text, bool Fits);
}
