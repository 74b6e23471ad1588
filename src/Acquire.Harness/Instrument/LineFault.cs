namespace Acquire.Harness.Instrument;

/// <summary>What a bad line does to frames, in the order in which they are listed.</summary>
internal enum LineFault
{
    /// <summary>Single bits are inverted.</summary>
    BitErrors,

    /// <summary>Bytes that nobody sent.</summary>
    Insertions,

    /// <summary>Bytes that never come.</summary>
    Deletions,

    /// <summary>A run of bytes becomes noise.</summary>
    Bursts,

    /// <summary>The line pauses, and what was due meanwhile comes in one go.</summary>
    Stalls,

    /// <summary>A frame comes twice.</summary>
    Duplicates,

    /// <summary>A frame comes after the one behind it.</summary>
    Reordering,

    /// <summary>The device starts anew.</summary>
    Resets,

    /// <summary>For some frames the line runs at a wrong rate: other bytes, and other numbers of them.</summary>
    Garbage,
}
