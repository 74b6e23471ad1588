using Acquire.Painting;

namespace Acquire.Imaging.Layout;

/// <summary>Paper with slanted lines: a place where nothing was measured, which must not look like the lowest colour.</summary>
internal static class Hatching
{
    /// <summary>Colour of a pixel of hatched paper.</summary>
    public static Colour At(int x, int y, Canvas canvas)
    {
        int line = Math.Max(1, (int)Math.Round(canvas.Metrics.Thin)), period = Math.Max(5, (int)Math.Round(canvas.Metrics.Small * 0.8));
        return (x + y) % period < line ? canvas.Style.Older : canvas.Style.Paper;
    }
}
