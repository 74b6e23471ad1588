namespace Acquire.Painting;

/// <summary>What a painter changed: the columns of pixels that a display has to be sent.</summary>
/// <param name="FirstX">First column of pixels that changed.</param>
/// <param name="EndX">One past the last; equal to <paramref name="FirstX"/> when nothing changed.</param>
/// <param name="Columns">Columns of pixels within the range that changed.</param>
public readonly record struct PaintedRange(int FirstX, int EndX, int Columns)
{
    /// <summary>Nothing changed.</summary>
    public bool IsEmpty => Columns == 0;
}
