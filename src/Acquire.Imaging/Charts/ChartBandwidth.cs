namespace Acquire.Imaging.Charts;

/// <summary>A measured bandwidth, drawn as a dimension and listed in a table.</summary>
public sealed record ChartBandwidth
{
    /// <summary>What was measured: <c>notch</c> or <c>peak</c>, or a word of the caller's.</summary>
    public required string Kind { get; init; }

    /// <summary>Level of the edges relative to the shoulder or the top, in dB.</summary>
    public required double LevelDb { get; init; }

    /// <summary>Lower edge in the chart's x unit.</summary>
    public required double Lower { get; init; }

    /// <summary>Upper edge in the chart's x unit.</summary>
    public required double Upper { get; init; }

    /// <summary>Centre in the chart's x unit; null is half way between the edges.</summary>
    public double? Centre { get; init; }

    /// <summary>Quality factor, centre over width; null is computed.</summary>
    public double? Q { get; init; }
}
