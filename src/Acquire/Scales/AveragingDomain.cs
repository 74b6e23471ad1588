namespace Acquire.Scales;

/// <summary>The quantity whose mean an average is.</summary>
public enum AveragingDomain
{
    /// <summary>Mean of decibels.</summary>
    Level,

    /// <summary>Mean of the input's voltage, shown in decibels.</summary>
    Voltage,

    /// <summary>Mean of the input's power, shown in decibels. RMS of a logarithmic vertical is this.</summary>
    Power,
}
