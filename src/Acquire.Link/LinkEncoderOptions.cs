using Acquire.Capture;

namespace Acquire.Link;

/// <summary>What a <see cref="LinkEncoder"/> sends.</summary>
public sealed record LinkEncoderOptions
{
    /// <summary>Fewest bytes that <see cref="FrameBytes"/> may be: one scan of eight channels.</summary>
    public const int FewestFrameBytes = 48;

    /// <summary>What the scans are.</summary>
    /// <value>Default: ramp and vertical of 12 bits, nothing else known. Its volts lie within +-2,147 V and are sent in microvolts, its half has 1 scan or more,
    /// of its text at most 255 bytes of UTF-8 are sent.</value>
    public StreamDescription Description { get; init; } = new();

    /// <summary>Name of the stretch of positions that begins.</summary>
    /// <value>Another after each start of the device; default 1.</value>
    public ushort Run { get; init; } = 1;

    /// <summary>Position of the first scan.</summary>
    /// <value>Default 0.</value>
    public ulong FirstPosition { get; init; }

    /// <summary>Whether codes are sent in 12 bits instead of 16.</summary>
    /// <value>Default true where the codes have 12 bits or fewer; then a quarter of the bytes is saved.</value>
    public bool? Packed { get; init; }

    /// <summary>Bytes on the wire that a frame of scans takes at the most, delimiter included.</summary>
    /// <value>48 to 8,192; default 1,024: less than a thirtieth is not scans, and one damaged bit loses 1 KiB.</value>
    public int FrameBytes { get; init; } = 1_024;

    internal bool SendsPacked => Packed ?? Description.Scan.Bits <= 12;

    /// <summary>Throws when a value is outside its range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        Description.Scan.Validate();
        if (Description.ScansPerHalf is < 1)
            throw new ArgumentException($"ScansPerHalf is {Description.ScansPerHalf}; a half has 1 scan or more. Leave it out where it is not known.");
        if (FrameBytes is < FewestFrameBytes or > LinkFrame.MostBytes)
            throw new ArgumentException($"FrameBytes is {FrameBytes}; it is {FewestFrameBytes} to {LinkFrame.MostBytes}.");
        if (Packed == true && Description.Scan.Bits > 12)
            throw new ArgumentException($"Bits is {Description.Scan.Bits}; packed codes have at most 12. Send them in 16 bits.");
    }
}
