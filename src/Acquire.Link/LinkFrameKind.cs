namespace Acquire.Link;

/// <summary>What a frame of the link protocol carries; the number stands on the wire. Others are skipped and counted.</summary>
public enum LinkFrameKind : byte
{
    /// <summary>What the scans are: device text, scan rate, channels, bits, volts, half size.</summary>
    Description = 1,

    /// <summary>Scans, each code in 16 bits.</summary>
    Scans16 = 2,

    /// <summary>Scans, two codes in three bytes.</summary>
    Scans12 = 3,

    /// <summary>An auxiliary word that holds from a position on.</summary>
    Word = 4,

    /// <summary>The device lost scans itself.</summary>
    Overrun = 5,

    /// <summary>Words for people.</summary>
    Text = 6,

    /// <summary>The device stops here; how many scans it sent.</summary>
    End = 7,
}
