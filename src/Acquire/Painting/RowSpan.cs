namespace Acquire.Painting;

/// <summary>Rows from top to bottom in sixteenths of a pixel, bottom exclusive; empty where top is not above bottom.</summary>
internal readonly record struct RowSpan(int Top, int Bottom)
{
    // Far outside of every picture, and near enough that differences stay in 32 bits.
    public static readonly RowSpan Empty = new(1 << 28, -(1 << 28));

    public bool IsEmpty => Top >= Bottom;

    public RowSpan With(RowSpan other) => new(Math.Min(Top, other.Top), Math.Max(Bottom, other.Bottom));

    /// <summary>How many sixteenths of a row of pixels lie within, 0 to 16.</summary>
    public int CoverageOf(int row) => Math.Max(0, Math.Min(Bottom, (row + 1) * 16) - Math.Max(Top, row * 16));
}
