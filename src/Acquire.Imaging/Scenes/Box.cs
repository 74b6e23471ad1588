namespace Acquire.Imaging.Scenes;

/// <summary>A rectangle in sheet pixels, y downwards.</summary>
/// <param name="Left">Left edge in pixels.</param>
/// <param name="Top">Top edge in pixels.</param>
/// <param name="Right">Right edge in pixels.</param>
/// <param name="Bottom">Bottom edge in pixels.</param>
internal readonly record struct Box(double Left, double Top, double Right, double Bottom)
{
    public double Width => Right - Left;

    public double Height => Bottom - Top;

    public double CentreX => (Left + Right) / 2;

    public double CentreY => (Top + Bottom) / 2;

    public static Box At(double left, double top, double width, double height) => new(left, top, left + width, top + height);

    public Box Inflate(double by) => new(Left - by, Top - by, Right + by, Bottom + by);

    public Box Inset(double left, double top, double right, double bottom) => new(Left + left, Top + top, Right - right, Bottom - bottom);

    public Box Union(Box other) =>
        new(Math.Min(Left, other.Left), Math.Min(Top, other.Top), Math.Max(Right, other.Right), Math.Max(Bottom, other.Bottom));

    public bool Overlaps(Box other) => Left < other.Right && other.Left < Right && Top < other.Bottom && other.Top < Bottom;

    /// <summary>Whether a straight line between two points runs through the box.</summary>
    public bool IsCrossedBy(double x0, double y0, double x1, double y1)
    {
        // Clips the line's share 0..1 to the box, one axis after the other.
        double from = 0, to = 1;
        return Clip(x0, x1 - x0, Left, Right) && Clip(y0, y1 - y0, Top, Bottom) && from <= to;

        bool Clip(double start, double way, double low, double high)
        {
            if (way == 0) return start >= low && start <= high;
            double a = (low - start) / way, b = (high - start) / way;
            from = Math.Max(from, Math.Min(a, b));
            to = Math.Min(to, Math.Max(a, b));
            return from <= to;
        }
    }

    public bool Contains(Box other) => other.Left >= Left && other.Top >= Top && other.Right <= Right && other.Bottom <= Bottom;
}
