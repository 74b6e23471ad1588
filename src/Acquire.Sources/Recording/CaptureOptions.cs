using Acquire.Capture;
using Acquire.Recordings;

namespace Acquire.Sources.Recording;

/// <summary>How a stream is recorded.</summary>
public sealed record CaptureOptions
{
    /// <summary>Time within which a scan is safe: of a killed process the recording lacks at most what came in this time, and one call.</summary>
    /// <value>1 ms to 1 hour; default one second. Writing begins at half of it, or when a quarter of its scans wait, so that the disk may take the rest.</value>
    public TimeSpan FlushInterval { get; init; } = TimeSpan.FromSeconds(1);

    /// <summary>Whether the same holds against a power cut: every flush waits for the disk, and so does every name. Default false.</summary>
    public bool Sync { get; init; }

    /// <summary>When the capture goes on in the next recording, or null: one recording.</summary>
    public CaptureRotation? Rotation { get; init; }

    /// <summary>What the recording is of, or null.</summary>
    public string? Description { get; init; }

    /// <summary>Makes the setup that is written beside each recording from what the source says of its scans, or null: <see cref="StreamSetup.Of"/>.</summary>
    public Func<StreamDescription, SetupDocument>? Setup { get; init; }

    /// <summary>Throws when a value is outside its documented range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        if (FlushInterval < TimeSpan.FromMilliseconds(1) || FlushInterval > TimeSpan.FromHours(1))
            throw new ArgumentException($"FlushInterval is {FlushInterval}; it is 1 ms to 1 hour.");
        if (Rotation is { MostBytes: <= 0 })
            throw new ArgumentException($"MostBytes is {Rotation.MostBytes}; a recording has at least one scan. Give a size or leave it out.");
        if (Rotation is { MostTime: { } time } && time <= TimeSpan.Zero)
            throw new ArgumentException($"MostTime is {time}; it must be positive. Give a time or leave it out.");
    }
}
