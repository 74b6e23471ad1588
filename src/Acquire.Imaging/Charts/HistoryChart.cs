namespace Acquire.Imaging.Charts;

/// <summary>The last sweeps as rows of colour, time running downwards.</summary>
public sealed record HistoryChart : Chart
{
    /// <summary>Rows, oldest first, each with one value a column in the y unit; NaN is an unfilled column and is hatched.</summary>
    public required IReadOnlyList<double[]> Rows { get; init; }

    /// <summary>Time of each row's end in seconds since a start that is the same for all, ascending; one for each row.
    /// Scans where <see cref="TimeUnit"/> says so.</summary>
    public required double[] RowSeconds { get; init; }

    /// <summary>Unit of <see cref="RowSeconds"/>: "s", the default, or "scans" where nobody knows the scan rate.</summary>
    public string TimeUnit { get; init; } = "s";

    /// <summary>Places where something changed, ascending by row.</summary>
    public IReadOnlyList<HistorySection> Sections { get; init; } = [];
}
