using Acquire.Sources.Recording;

namespace Acquire.Harness.Capturing;

/// <summary>What the command line of <c>capture</c> asks for.</summary>
internal sealed record CaptureChoices
{
    /// <summary>The source as it was written.</summary>
    public required string Source { get; init; }

    /// <summary>Name of the recording, without an ending.</summary>
    public required string Name { get; init; }

    /// <summary>Time after which the capture ends, or null.</summary>
    public TimeSpan? For { get; init; }

    /// <summary>Scans after which it ends, or null.</summary>
    public long? Scans { get; init; }

    /// <summary>Time within which a scan is safe from a killed process.</summary>
    public TimeSpan Flush { get; init; } = TimeSpan.FromSeconds(1);

    /// <summary>Whether every flush waits for the disk.</summary>
    public bool Sync { get; init; }

    /// <summary>Whether the bytes are kept as they came.</summary>
    public bool Raw { get; init; }

    /// <summary>When the next recording begins, or null.</summary>
    public CaptureRotation? Rotation { get; init; }

    /// <summary>Name of the file of bytes.</summary>
    public string RawPath => Name + Inspect.Link.LinkFile.Extension;
}
