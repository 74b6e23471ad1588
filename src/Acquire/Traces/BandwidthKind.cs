namespace Acquire.Traces;

/// <summary>What a bandwidth is measured of.</summary>
public enum BandwidthKind
{
    /// <summary>A peak; levels count from its top.</summary>
    Peak,

    /// <summary>A notch; levels count from its shoulder.</summary>
    Notch,
}
