namespace Acquire.Columns;

/// <summary>Where the columns lie on the ramp. Immutable; when edges move there is a new axis with the next number.</summary>
/// <param name="Number">From 0; hold, average and history restart with each new number.</param>
/// <param name="ColumnCount">Columns from edge to edge.</param>
/// <param name="LowCode">Lower edge, in codes, with fractions.</param>
/// <param name="HighCode">Upper edge, in codes, with fractions.</param>
/// <param name="StartsHigh">Column 0 lies at <paramref name="HighCode"/> (a falling ramp), not at <paramref name="LowCode"/>.</param>
/// <param name="Learnt">The edges were learnt from the ramp, not given.</param>
/// <param name="Provisional">Learnt edges before the first whole sweep: drawn on the converter's range.</param>
public sealed record ColumnAxis(
    int Number, int ColumnCount, double LowCode, double HighCode, bool StartsHigh, bool Learnt, bool Provisional)
{
    /// <summary>Screen fraction of a column's centre: 0 is where the beam starts, 1 where the sweep ends.</summary>
    /// <param name="column">0 to ColumnCount - 1.</param>
    public double CentreOf(int column) => (column + 0.5) / ColumnCount;
}
