using Acquire.Columns;

namespace Acquire.Painting;

/// <summary>What a trace shows, column by column, in shares of the surface's height: 0 is its lowest row, 1 its highest.</summary>
/// <remarks>All spans have one entry per column or are empty. NaN is an unfilled column; values outside of 0 to 1 leave the picture.</remarks>
internal readonly ref struct TracePicture
{
    /// <summary>Value of each column.</summary>
    public ReadOnlySpan<float> Values { get; init; }

    /// <summary>Lowest reading of each column on the instrument's screen, or empty: no band. In a picture the other way up it lies above the highest.</summary>
    public ReadOnlySpan<float> Lows { get; init; }

    /// <summary>Highest reading of each column, or empty.</summary>
    public ReadOnlySpan<float> Highs { get; init; }

    /// <summary>Shade of each column: 0 is full ink, larger is older and paler.</summary>
    public ReadOnlySpan<byte> Shades { get; init; }

    /// <summary>Reference of each column, or empty.</summary>
    public ReadOnlySpan<float> Reference { get; init; }

    /// <summary>Marks of each column, or empty: none are shown.</summary>
    public ReadOnlySpan<ColumnMarks> Marks { get; init; }

    /// <summary>Border that the front has reached: fresh and older columns meet left of this column; -1 where no gap is shown.</summary>
    public int FrontBorder { get; init; }

    /// <summary>The front moves from high to low columns, so the older ones lie left of the border.</summary>
    public bool FrontMovesDown { get; init; }
}
