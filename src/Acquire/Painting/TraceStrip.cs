using Acquire.Columns;

namespace Acquire.Painting;

/// <summary>All that a trace shows in one column of pixels: what is compared, to know whether to paint it again.</summary>
/// <remarks>Rows count in sixteenths of a pixel from the top of the surface. Shades are those of the sheet's inks.</remarks>
internal readonly record struct TraceStrip(RowSpan Fresh, RowSpan Stale, byte StaleShade, RowSpan Band, RowSpan Reference, ColumnMarks Marks)
{
    public static readonly TraceStrip Empty = new(RowSpan.Empty, RowSpan.Empty, 0, RowSpan.Empty, RowSpan.Empty, ColumnMarks.None);

    /// <summary>Rows that anything of it touches, but for its marks: their patterns may be anywhere.</summary>
    public RowSpan Extent => Fresh.With(Stale).With(Band).With(Reference);
}
