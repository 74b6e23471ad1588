namespace Acquire.Link;

/// <summary>What became of one piece between two delimiters.</summary>
public enum LinkVerdict
{
    /// <summary>A frame, used.</summary>
    Accepted,

    /// <summary>A sound frame of a kind that this version does not know; what its header says about losses was used.</summary>
    UnknownKind,

    /// <summary>A sound frame of another major version; nothing of it can be read.</summary>
    UnknownMajor,

    /// <summary>The same frame once more.</summary>
    Duplicate,

    /// <summary>A sound frame that came after its place in the stream had passed; its scans were counted as missing then.</summary>
    Late,

    /// <summary>A sound frame whose payload says what cannot be: channels without a ramp, a word of the future.</summary>
    Contents,

    /// <summary>The length that the frame states is not the length that it has, or no length that its kind can have.</summary>
    Length,

    /// <summary>The CRC does not fit the bytes.</summary>
    Crc,

    /// <summary>The CRC fits, the sum of words does not.</summary>
    Sum,

    /// <summary>A length inside the stuffing leads beyond the end.</summary>
    Stuffing,

    /// <summary>Fewer bytes than the smallest frame has.</summary>
    TooShort,

    /// <summary>More bytes than the largest frame has.</summary>
    TooLong,

    /// <summary>The first piece of all, or the first after an interruption, and not a frame: its beginning was not seen.</summary>
    Joined,

    /// <summary>A piece without its end when the bytes were interrupted or ended.</summary>
    CutOff,
}
