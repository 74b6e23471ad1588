namespace Acquire.Link;

/// <summary>What stands in front of every frame's payload.</summary>
/// <param name="Kind">What the payload is; a number without a name in <see cref="LinkFrameKind"/> is valid and skipped.</param>
/// <param name="Run">Names one stretch of positions that can be compared: another after each start of the device and wherever it lost count.</param>
/// <param name="Sequence">Number of the frame in its run, of every kind; behind 2^32 - 1 comes 0.</param>
/// <param name="Position">Scans of the run before this frame: the position of the first scan in it or after it.</param>
public readonly record struct LinkHeader(LinkFrameKind Kind, ushort Run, uint Sequence, ulong Position)
{
    /// <summary>Version of the protocol: major number in the high four bits, minor in the low four.</summary>
    public byte Version { get; init; } = LinkFrame.Version;

    /// <summary>Major version.</summary>
    public int Major => Version >> 4;

    /// <summary>Minor version.</summary>
    public int Minor => Version & 0xF;
}
