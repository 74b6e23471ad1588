using Acquire.Columns;

namespace Acquire.Painting;

/// <summary>How marks of columns look: by pattern and place, so that nothing rests on hue.</summary>
/// <remarks>
/// Suspect: hatched from top to bottom, as a drawing hatches what was cut. Settling: dots near the foot. Provisional: dashes at the foot.
/// They lie on the band and under all lines.
/// </remarks>
internal static class MarkPattern
{
    /// <summary>Marks that are shown.</summary>
    public const ColumnMarks Shown = ColumnMarks.Suspect | ColumnMarks.Settling | ColumnMarks.Provisional;

    private const int HatchPeriod = 8;
    private const int DotPeriod = 4;
    private const int DotSize = 2;
    private const int DashPeriod = 12;
    private const int DashLength = 8;

    // Rows from the foot of the picture: dashes in the lowest two, one clear, dots in the two above.
    private const int DashRows = 2;
    private const int DotsFrom = 3;
    private const int FootRows = DotsFrom + DotSize;

    /// <summary>Whether a pixel belongs to the pattern.</summary>
    public static bool Covers(ColumnMarks marks, int x, int y, int height)
    {
        if (marks == ColumnMarks.None) return false;
        if ((marks & ColumnMarks.Suspect) != ColumnMarks.None && (x + y) % HatchPeriod == 0) return true;
        int fromFoot = height - 1 - y;
        if (fromFoot < DashRows) return (marks & ColumnMarks.Provisional) != ColumnMarks.None && x % DashPeriod < DashLength;
        return fromFoot is >= DotsFrom and < FootRows && (marks & ColumnMarks.Settling) != ColumnMarks.None && x % DotPeriod < DotSize;
    }

    /// <summary>Paints the pattern of a whole column of pixels.</summary>
    public static void Paint(ColumnMarks marks, int x, PixelSurface pixels, uint encoded)
    {
        if (marks == ColumnMarks.None) return;
        if ((marks & ColumnMarks.Suspect) != ColumnMarks.None)
            for (int y = (HatchPeriod - (x % HatchPeriod)) % HatchPeriod; y < pixels.Height; y += HatchPeriod) pixels.FillColumn(x, y, y + 1, encoded);
        for (int y = Math.Max(0, pixels.Height - FootRows); y < pixels.Height; y++)
            if (Covers(marks, x, y, pixels.Height)) pixels.FillColumn(x, y, y + 1, encoded);
    }
}
