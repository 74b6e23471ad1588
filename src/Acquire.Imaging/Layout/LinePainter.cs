using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Layout;

/// <summary>Draws one value a column as a line; what is not known is not drawn.</summary>
internal sealed class LinePainter(Canvas canvas, PlotFrame frame, double[] positions)
{
    /// <summary>Draws a line through the columns that <paramref name="isShown"/> names, in the manner that <paramref name="manner"/> gives for each.</summary>
    /// <returns>The points in pixels, NaN where nothing is drawn, from left to right or from right to left.</returns>
    public List<(double X, double Y)> Draw(string title, double[] values, Func<int, bool> isShown, Func<int, LineManner> manner, LinePens pens)
    {
        var points = new List<(double X, double Y)>(values.Length);
        for (int i = 0; i < values.Length; i++)
        {
            bool shown = double.IsFinite(values[i]) && isShown(i);
            points.Add((frame.X.At(positions[i]), shown ? frame.Y.At(values[i]) : double.NaN));
        }

        canvas.Group(title, () => DrawRuns(points, manner, pens), clip: frame.Field.Inflate(canvas.Metrics.Medium / 2));
        return points;
    }

    /// <summary>Fills the band between two lines.</summary>
    public void DrawBand(string title, double[] lowest, double[] highest, Func<int, bool> isShown, Colour colour) => canvas.Group(title, () =>
    {
        int from = 0;
        while (from < lowest.Length)
        {
            if (!Shown(from))
            {
                from++;
                continue;
            }

            int to = from;
            while (to + 1 < lowest.Length && Shown(to + 1)) to++;
            DrawBandRun(lowest, highest, from, to, colour);
            from = to + 1;
        }

        bool Shown(int i) => double.IsFinite(lowest[i]) && double.IsFinite(highest[i]) && isShown(i);
    }, clip: frame.Field);

    private void DrawBandRun(double[] lowest, double[] highest, int from, int to, Colour colour)
    {
        var path = new ScenePath();
        double half = from == to ? ColumnWidth(from) / 2 : 0;
        for (int i = from; i <= to; i++) AddTo(path, frame.X.At(positions[i]) - half, frame.Y.At(highest[i]));
        for (int i = to; i >= from; i--)
        {
            if (half > 0 && i == to) path.LineTo(frame.X.At(positions[i]) + half, frame.Y.At(highest[i])).LineTo(frame.X.At(positions[i]) + half, frame.Y.At(lowest[i]));
            path.LineTo(frame.X.At(positions[i]) - half, frame.Y.At(lowest[i]));
        }

        canvas.Fill(path.Close(), colour);
    }

    private void DrawRuns(List<(double X, double Y)> points, Func<int, LineManner> manner, LinePens pens)
    {
        int from = 0;
        while (from < points.Count)
        {
            if (double.IsNaN(points[from].Y))
            {
                from++;
                continue;
            }

            // A run goes on while segments are drawn alike; the next run starts at the point where this one ends.
            bool isAlone = from + 1 >= points.Count || double.IsNaN(points[from + 1].Y);
            LineManner kind = isAlone ? manner(from) : Worse(manner(from), manner(from + 1));
            int to = from;
            while (to + 1 < points.Count && !double.IsNaN(points[to + 1].Y) && Worse(manner(to), manner(to + 1)) == kind) to++;
            if (to > from) canvas.Stroke(Thin(points, from, to), pens.ColourOf(kind), pens.WidthOf(kind), pens.DashOf(kind));
            else if (from == 0 || double.IsNaN(points[from - 1].Y)) DrawAlone(points[from], ColumnWidth(from), pens, kind);
            from = to > from && to + 1 < points.Count && !double.IsNaN(points[to + 1].Y) ? to : to + 1;
        }
    }

    // A filled column between unfilled ones has no neighbour to be joined to: its own width is all that is known.
    private void DrawAlone((double X, double Y) point, double width, LinePens pens, LineManner kind)
    {
        double half = Math.Max(width / 2, pens.Width * 0.1);
        canvas.Stroke(ScenePath.Line(point.X - half, point.Y, point.X + half, point.Y), pens.ColourOf(kind), pens.WidthOf(kind));
    }

    private double ColumnWidth(int column)
    {
        if (positions.Length < 2) return frame.Field.Width;
        int other = column == 0 ? 1 : column - 1;
        return Math.Abs(frame.X.At(positions[column]) - frame.X.At(positions[other]));
    }

    private static LineManner Worse(LineManner a, LineManner b) => (LineManner)Math.Max((int)a, (int)b);

    // Many columns in one pixel are drawn as first, lowest, highest and last of them: the same ink from fewer points.
    private static ScenePath Thin(List<(double X, double Y)> points, int from, int to)
    {
        var path = new ScenePath();
        double width = Math.Abs(points[to].X - points[from].X);
        if (to - from < 3 * width)
        {
            for (int i = from; i <= to; i++) AddTo(path, points[i].X, points[i].Y);
            return path;
        }

        int at = from;
        while (at <= to)
        {
            double pixel = Math.Floor(points[at].X);
            int last = at, lowest = at, highest = at;
            while (last + 1 <= to && Math.Floor(points[last + 1].X) == pixel)
            {
                last++;
                if (points[last].Y > points[lowest].Y) lowest = last;
                if (points[last].Y < points[highest].Y) highest = last;
            }

            foreach (int i in new SortedSet<int> { at, lowest, highest, last }) AddTo(path, points[i].X, points[i].Y);
            at = last + 1;
        }

        return path;
    }

    private static void AddTo(ScenePath path, double x, double y)
    {
        if (path.IsEmpty) path.MoveTo(x, y);
        else path.LineTo(x, y);
    }
}
