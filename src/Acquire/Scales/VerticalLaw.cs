namespace Acquire.Scales;

/// <summary>What the vertical's voltage is proportional to.</summary>
public enum VerticalLaw
{
    /// <summary>Decibels: the instrument shows its logarithmic scale.</summary>
    Logarithmic,

    /// <summary>The input's voltage: the instrument shows a linear scale.</summary>
    Voltage,

    /// <summary>The input's power.</summary>
    Power,
}
