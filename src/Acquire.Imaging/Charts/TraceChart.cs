namespace Acquire.Imaging.Charts;

/// <summary>One trace over its axis, with what belongs to it.</summary>
public sealed record TraceChart : Chart
{
    /// <summary>One value a column in the y unit; NaN is an unfilled column, which is drawn as a gap.</summary>
    public required double[] Values { get; init; }

    /// <summary>Lowest value of each column, lower edge of a pale band; null when not kept. Needs <see cref="Highest"/>.</summary>
    public double[]? Lowest { get; init; }

    /// <summary>Highest value of each column, upper edge of a pale band; null when not kept. Needs <see cref="Lowest"/>.</summary>
    public double[]? Highest { get; init; }

    /// <summary>Values of an earlier sweep, drawn pale: from the front on where there is a front, otherwise wherever <see cref="Values"/> is unfilled.</summary>
    public double[]? OlderValues { get; init; }

    /// <summary>The column that the sweep under way has reached; null when the trace is whole. It and the columns ahead of it are taken from <see cref="OlderValues"/>.</summary>
    public int? FrontColumn { get; init; }

    /// <summary>Whether the front moves towards the first column, as on the way back of an instrument that draws both ways: then the columns before it lie ahead.</summary>
    public bool FrontMovesDown { get; init; }

    /// <summary>Age of the older values in seconds; null is "not stated".</summary>
    public double? OlderAgeSeconds { get; init; }

    /// <summary>A reference trace in the y unit, or null.</summary>
    public double[]? Reference { get; init; }

    /// <summary>What the reference is, for the legend.</summary>
    public string ReferenceName { get; init; } = "reference";

    /// <summary>What the trace is, for the legend.</summary>
    public string TraceName { get; init; } = "trace";

    /// <summary>False where a column is too near the floor or at a rail; null when all are trusted.</summary>
    public bool[]? Trusted { get; init; }

    /// <summary>True where a column shows "at or below" its value; null when none does.</summary>
    public bool[]? AtOrBelow { get; init; }

    /// <summary>True where an unfilled column was bridged between its neighbours; null when none was.</summary>
    public bool[]? Bridged { get; init; }

    /// <summary>Markers, in the order of the table.</summary>
    public IReadOnlyList<ChartMarker> Markers { get; init; } = [];

    /// <summary>Measured bandwidths.</summary>
    public IReadOnlyList<ChartBandwidth> Bandwidths { get; init; } = [];
}
