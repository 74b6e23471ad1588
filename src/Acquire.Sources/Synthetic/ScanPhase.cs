namespace Acquire.Sources.Synthetic;

/// <summary>What the instrument does while a scan is read.</summary>
public enum ScanPhase
{
    /// <summary>The ramp moves across the screen, a visible pause included.</summary>
    Sweep,

    /// <summary>The ramp flies back.</summary>
    Retrace,

    /// <summary>The ramp waits for the next sweep.</summary>
    Rest,

    /// <summary>The beam is off inside a sweep: a blanked pause.</summary>
    Blanked,

    /// <summary>The ramp is turned by hand, or stands where the hand left it.</summary>
    Manual,

    /// <summary>The ramp channel carries no ramp.</summary>
    NoRamp,
}
