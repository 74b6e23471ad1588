namespace Acquire.Imaging.Charts;

/// <summary>The last sweeps as rows of colour, time running downwards.</summary>
public sealed record HistoryChart : Chart
{
    /// <summary>Rows, oldest first, each with one value a column in the y unit; NaN is an unfilled column and stays paper.</summary>
    public required IReadOnlyList<double[]> Rows { get; init; }

    /// <summary>Time of each row's end in seconds since a start that is the same for all, ascending; one for each row.</summary>
    public required double[] RowSeconds { get; init; }

    /// <summary>Places where something changed, ascending by row.</summary>
    public IReadOnlyList<HistorySection> Sections { get; init; } = [];
}
