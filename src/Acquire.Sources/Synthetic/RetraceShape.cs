namespace Acquire.Sources.Synthetic;

/// <summary>How a ramp flies back.</summary>
public enum RetraceShape
{
    /// <summary>In a straight line.</summary>
    Linear,

    /// <summary>As a capacitor discharges, through the time constants of <see cref="SweepTiming.RetraceConstants"/>.</summary>
    Exponential,
}
