using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Layout;

/// <summary>Knows for each pixel across a field between which heights lines run, so that labels can keep clear of them.</summary>
internal sealed class InkMap(Box field)
{
    private readonly List<(double[] Top, double[] Bottom)> _lines = [];

    /// <summary>Adds one line; segments between NaN points are not inked.</summary>
    public void AddLine(IReadOnlyList<(double X, double Y)> points)
    {
        int width = Math.Max(1, (int)Math.Ceiling(field.Width) + 1);
        double[] top = new double[width], bottom = new double[width];
        Array.Fill(top, double.MaxValue);
        Array.Fill(bottom, double.MinValue);
        for (int i = 0; i < points.Count; i++)
        {
            Mark(points[i], points[i]);
            if (i > 0) Mark(points[i - 1], points[i]);
        }

        _lines.Add((top, bottom));

        void Mark((double X, double Y) from, (double X, double Y) to)
        {
            if (double.IsNaN(from.Y) || double.IsNaN(to.Y)) return;
            if (from.X > to.X) (from, to) = (to, from);
            int first = Math.Clamp((int)Math.Floor(from.X - field.Left), 0, width - 1), last = Math.Clamp((int)Math.Ceiling(to.X - field.Left), 0, width - 1);
            for (int x = first; x <= last; x++)
            {
                double a = YAt(x + field.Left - 0.5), b = YAt(x + field.Left + 0.5);
                top[x] = Math.Min(top[x], Math.Min(a, b));
                bottom[x] = Math.Max(bottom[x], Math.Max(a, b));
            }

            double YAt(double x) => to.X == from.X ? (x < from.X ? from.Y : to.Y) : from.Y + (Math.Clamp((x - from.X) / (to.X - from.X), 0, 1) * (to.Y - from.Y));
        }
    }

    /// <summary>How many pixel columns of a box are crossed by a line.</summary>
    public int CrossingColumns(Box box)
    {
        int first = Math.Max(0, (int)Math.Floor(box.Left - field.Left)), last = (int)Math.Ceiling(box.Right - field.Left);
        int crossings = 0;
        foreach ((double[] top, double[] bottom) in _lines)
        {
            for (int x = first; x <= Math.Min(last, top.Length - 1); x++)
            {
                if (top[x] < box.Bottom && bottom[x] > box.Top) crossings++;
            }
        }

        return crossings;
    }
}
