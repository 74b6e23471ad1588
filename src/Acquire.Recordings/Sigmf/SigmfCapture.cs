using Acquire.Capture;

namespace Acquire.Recordings.Sigmf;

/// <summary>One capture segment as the metadata states it.</summary>
internal readonly record struct SigmfCapture
{
    /// <summary>Absolute index of the first scan.</summary>
    public long SampleStart { get; init; }

    /// <summary>Index of that scan in the original stream, or null: not stated.</summary>
    public long? GlobalIndex { get; init; }

    /// <summary>Bytes before the scans that are not scans.</summary>
    public long HeaderBytes { get; init; }

    /// <summary>Time of the first scan, or null.</summary>
    public DateTimeOffset? Started { get; init; }

    /// <summary>Our own field: an unknown number of scans is missing before this segment.</summary>
    public bool IsBreak { get; init; }

    /// <summary>Our own field: why scans are missing before this segment, or null.</summary>
    public GapCause? Cause { get; init; }
}
