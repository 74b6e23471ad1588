using Acquire.Imaging.Charts;
using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Layout;

/// <summary>Names places on a trace by balloons with leaders, as parts are named in a drawing; each stays clear of lines, texts and other balloons.</summary>
internal sealed class BalloonPainter(Canvas canvas, PlotFrame frame, InkMap ink, List<Box> taken)
{
    private static readonly double[] s_angles = [60, 120, 90, 40, 140, 75, 105, 20, 160, -60, -120, -90, -40, -140, 0, 180];
    private static readonly double[] s_distances = [2.4, 3.2, 4.2, 5.5, 7, 9, 12];

    public void Draw(IReadOnlyList<ChartMarker> markers)
    {
        foreach (ChartMarker marker in markers.Where(m => double.IsFinite(m.Value) && m.Position >= frame.X.Low && m.Position <= frame.X.High)) DrawOne(marker);
    }

    private void DrawOne(ChartMarker marker)
    {
        double letter = canvas.Metrics.Small;
        double x = frame.X.At(marker.Position), y = Math.Clamp(frame.Y.At(marker.Value), frame.Field.Top, frame.Field.Bottom);
        string name = Letterer.Shorten(marker.Name, letter, letter * 12);
        double radius = letter * 0.95, halfWidth = Math.Max(radius, (Letterer.Measure(name, letter) / 2) + (radius * 0.55));
        SheetStyle style = canvas.Style;
        Box? found = FindPlace(x, y, halfWidth, radius);
        canvas.Group($"Marker {marker.Name}", () =>
        {
            if (found is { } place)
            {
                DrawLeader(x, y, place, radius, halfWidth);
                ScenePath outline = Stadium(place, radius);
                canvas.Fill(outline, style.Paper);
                canvas.Stroke(outline, style.Ink, canvas.Metrics.Medium);
                canvas.Text(name, place.CentreX, place.CentreY + (letter / 2), letter, style.Ink, Align.Centre);
                taken.Add(place.Inflate(canvas.Metrics.Medium));
            }

            double dot = letter * 0.32;
            canvas.Fill(ScenePath.Circle(x, y, dot + canvas.Metrics.Medium), style.Paper);
            canvas.Fill(ScenePath.Circle(x, y, dot), style.Ink);
        }, symbol: found);
    }

    // The nearest place that touches nothing; failing that, none: the table names the marker anyway.
    private Box? FindPlace(double x, double y, double halfWidth, double radius)
    {
        Box inside = frame.Field.Inflate(-canvas.Metrics.Medium * 2);
        Box? leastInk = null;
        int leastCrossings = int.MaxValue;
        foreach (double distance in s_distances)
        {
            foreach (double angle in s_angles)
            {
                (double sin, double cos) = Math.SinCos(angle * Math.PI / 180);
                double reach = distance * radius;
                double cx = x + (cos * (reach + halfWidth - radius)), cy = y - (sin * reach);
                var box = new Box(cx - halfWidth, cy - radius, cx + halfWidth, cy + radius);
                if (!inside.Contains(box) || taken.Exists(t => t.Overlaps(box.Inflate(radius * 0.4))) || IsLeaderTaken(x, y, box, radius)) continue;
                int crossings = ink.CrossingColumns(box.Inflate(radius * 0.35));
                if (crossings == 0) return box;
                if (crossings < leastCrossings) (leastCrossings, leastInk) = (crossings, box);
            }
        }

        return leastInk;
    }

    // A leader along an extension line would be read as part of it; near the dot lines may meet.
    private bool IsLeaderTaken(double x, double y, Box place, double radius)
    {
        double dx = place.CentreX - x, dy = place.CentreY - y, length = Math.Sqrt((dx * dx) + (dy * dy));
        if (length <= radius) return false;
        double startX = x + (dx * radius / length), startY = y + (dy * radius / length);
        return taken.Exists(t => t.Inflate(radius * 0.3).IsCrossedBy(startX, startY, place.CentreX, place.CentreY));
    }

    private void DrawLeader(double x, double y, Box place, double radius, double halfWidth)
    {
        // Towards the middle of the nearer rounded end, up to its edge.
        double straight = Math.Max(0, halfWidth - radius), endX = Math.Clamp(x, place.CentreX - straight, place.CentreX + straight);
        double dx = endX - x, dy = place.CentreY - y, length = Math.Sqrt((dx * dx) + (dy * dy));
        if (length <= radius) return;
        double share = (length - radius) / length;
        canvas.Stroke(ScenePath.Line(x, y, x + (dx * share), y + (dy * share)), canvas.Style.Ink, canvas.Metrics.Medium);
    }

    private static ScenePath Stadium(Box box, double radius)
    {
        double k = radius * 0.5522847498, left = box.Left + radius, right = box.Right - radius;
        return new ScenePath().MoveTo(left, box.Top).LineTo(right, box.Top)
            .CurveTo(right + k, box.Top, box.Right, box.CentreY - k, box.Right, box.CentreY)
            .CurveTo(box.Right, box.CentreY + k, right + k, box.Bottom, right, box.Bottom)
            .LineTo(left, box.Bottom)
            .CurveTo(left - k, box.Bottom, box.Left, box.CentreY + k, box.Left, box.CentreY)
            .CurveTo(box.Left, box.CentreY - k, left - k, box.Top, left, box.Top).Close();
    }
}
