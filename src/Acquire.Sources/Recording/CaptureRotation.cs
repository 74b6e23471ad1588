namespace Acquire.Sources.Recording;

/// <summary>When a capture goes on in the next recording. Whichever limit is reached first counts.</summary>
public sealed record CaptureRotation
{
    /// <summary>Bytes of scans in one recording at most, or null: no such limit.</summary>
    /// <value>One scan or more; a recording has at least one scan.</value>
    public long? MostBytes { get; init; }

    /// <summary>Time from the beginning of one recording to that of the next, or null: no such limit.</summary>
    /// <value>Positive. Nothing is cut while no scan comes.</value>
    public TimeSpan? MostTime { get; init; }
}
