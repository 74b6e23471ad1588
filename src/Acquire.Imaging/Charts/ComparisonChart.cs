namespace Acquire.Imaging.Charts;

/// <summary>Two recordings over one axis, and their difference below.</summary>
public sealed record ComparisonChart : Chart
{
    /// <summary>The first recording's values, one a column; NaN is unfilled.</summary>
    public required double[] First { get; init; }

    /// <summary>What the first recording is, for the legend.</summary>
    public required string FirstName { get; init; }

    /// <summary>The second recording's values, one a column; NaN is unfilled.</summary>
    public required double[] Second { get; init; }

    /// <summary>What the second recording is, for the legend.</summary>
    public required string SecondName { get; init; }

    /// <summary>Difference, one a column; null takes first minus second.</summary>
    public double[]? Difference { get; init; }

    /// <summary>Unit of the difference; null is <c>dB</c> for levels, otherwise the y unit.</summary>
    public string? DifferenceUnit { get; init; }

    /// <summary>Markers on the first trace, in the order of the table.</summary>
    public IReadOnlyList<ChartMarker> Markers { get; init; } = [];
}
