using Acquire.Capture;
using Acquire.Sources.Recording;

namespace Acquire.Harness.Capturing;

/// <summary>How a capture went.</summary>
internal sealed record CaptureResult
{
    /// <summary>The recordings, with the scans that are in them.</summary>
    public required IReadOnlyList<CapturedRecording> Recordings { get; init; }

    /// <summary>Scans recorded.</summary>
    public required long Scans { get; init; }

    /// <summary>Scans known to be missing.</summary>
    public required long LostScans { get; init; }

    /// <summary>Places where a known number is missing.</summary>
    public required long Gaps { get; init; }

    /// <summary>Places where an unknown number is missing.</summary>
    public required long Breaks { get; init; }

    /// <summary>Complete sweeps.</summary>
    public required long Sweeps { get; init; }

    /// <summary>What the source says of its scans.</summary>
    public required StreamDescription Description { get; init; }

    /// <summary>Whether the source sent at more than one scan rate, so that the scans give no time.</summary>
    public bool RatesDiffer { get; init; }

    /// <summary>The device's last words, or null.</summary>
    public string? LastText { get; init; }

    /// <summary>Times that a connection was lost and made anew.</summary>
    public long Reconnections { get; init; }

    /// <summary>Whether the device said that it stops.</summary>
    public bool DeviceEnded { get; init; }

    /// <summary>Bytes kept as they came, or null.</summary>
    public long? RawBytes { get; init; }

    /// <summary>What ended it early, or null.</summary>
    public Exception? Failure { get; init; }
}
