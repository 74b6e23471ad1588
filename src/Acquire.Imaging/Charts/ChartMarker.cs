namespace Acquire.Imaging.Charts;

/// <summary>A place on a trace that has a name.</summary>
public sealed record ChartMarker
{
    /// <summary>Name in the balloon and the table; one or two characters read best.</summary>
    public required string Name { get; init; }

    /// <summary>Position in the chart's x unit.</summary>
    public required double Position { get; init; }

    /// <summary>Value in the chart's y unit; NaN where the column is unfilled.</summary>
    public required double Value { get; init; }

    /// <summary>A remark for the table, or null.</summary>
    public string? Note { get; init; }
}
