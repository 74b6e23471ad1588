namespace Acquire.Capture;

/// <summary>Why scans are missing at a place in the stream.</summary>
public enum GapCause
{
    /// <summary>The consumer still held the half that had to be filled.</summary>
    Overrun,

    /// <summary>Frames were lost or damaged on the way from the converter.</summary>
    Link,

    /// <summary>The recording says that scans are missing.</summary>
    File,

    /// <summary>The device started anew; the number of missing scans is unknown.</summary>
    Reset,

    /// <summary>The source carries no index, so the number of missing scans is unknown.</summary>
    Unknown,
}
