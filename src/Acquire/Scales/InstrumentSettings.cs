namespace Acquire.Scales;

/// <summary>What the instrument was set to, for the record. Null is "not stated".</summary>
public sealed record InstrumentSettings
{
    /// <summary>Name of the instrument, as its owner calls it.</summary>
    public string? Instrument { get; init; }

    /// <summary>Centre frequency in hertz.</summary>
    public double? CentreHz { get; init; }

    /// <summary>Span in hertz over the whole screen; 0 is zero span.</summary>
    public double? SpanHz { get; init; }

    /// <summary>Resolution bandwidth in hertz.</summary>
    public double? ResolutionBandwidthHz { get; init; }

    /// <summary>Video bandwidth in hertz.</summary>
    public double? VideoBandwidthHz { get; init; }

    /// <summary>Reference level in the vertical's level unit.</summary>
    public double? ReferenceLevelDb { get; init; }

    /// <summary>Input attenuation in decibels.</summary>
    public double? AttenuationDb { get; init; }

    /// <summary>Sweep time as set on the instrument, in seconds.</summary>
    public double? SweepTimeSeconds { get; init; }

    /// <summary>Whatever else the owner wants to file, name and value.</summary>
    public IReadOnlyDictionary<string, string> More { get; init; } = new Dictionary<string, string>(StringComparer.Ordinal);
}
