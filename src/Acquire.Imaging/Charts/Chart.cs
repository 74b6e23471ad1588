namespace Acquire.Imaging.Charts;

/// <summary>What a chart sheet shows: values over the columns of a sweep.</summary>
/// <remarks>Arrays are read while a sheet is rendered and not kept; they must not change meanwhile.</remarks>
public abstract record Chart
{
    /// <summary>Centres of the columns in <see cref="XUnit"/>, strictly ascending or strictly descending; at least one.</summary>
    public required double[] Positions { get; init; }

    /// <summary>Unit of the positions: <c>Hz</c>, <c>s</c>, <c>%</c>, <c>code</c>, or another; prefixes are added where the unit takes them.</summary>
    public string XUnit { get; init; } = "Hz";

    /// <summary>Name of the horizontal axis; null names it after its unit (frequency, time, sweep, ramp code).</summary>
    public string? XName { get; init; }

    /// <summary>Unit of the values: <c>dB</c>, <c>dBm</c>, <c>V</c>, <c>code</c>, or another.</summary>
    public string YUnit { get; init; } = "dB";

    /// <summary>Name of the values; null names them after their unit (level, voltage, code).</summary>
    public string? YName { get; init; }

    /// <summary>What the vertical's voltage is proportional to, in words, printed with the settings; null is "not stated".</summary>
    public string? Law { get; init; }

    /// <summary>Lowest and highest value shown; null takes both from the values. For a history: of the colours.</summary>
    public ChartRange? YRange { get; init; }
}
