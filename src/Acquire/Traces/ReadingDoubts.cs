namespace Acquire.Traces;

/// <summary>Why a reading is not to be trusted. A trusted reading has none.</summary>
[Flags]
public enum ReadingDoubts
{
    /// <summary>Trusted.</summary>
    None = 0,

    /// <summary>There is no value: the reading or the reference is unfilled.</summary>
    Unfilled = 1,

    /// <summary>The reading lies less than 10 dB above the floor, so the floor is part of it.</summary>
    NearFloor = 2,

    /// <summary>The reading lies less than 3 dB above the floor: it says "at or below", nothing more.</summary>
    AtOrBelowFloor = 4,

    /// <summary>The reading lies at a rail of the converter.</summary>
    AtRail = 8,

    /// <summary>The reading or the reference holds scans that may have been overwritten.</summary>
    Suspect = 16,

    /// <summary>The reading was taken while the instrument settled after a retrace.</summary>
    Settling = 32,

    /// <summary>The reference lies less than 10 dB above the floor.</summary>
    ReferenceNearFloor = 64,

    /// <summary>The reference lies at a rail of the converter.</summary>
    ReferenceAtRail = 128,

    /// <summary>The reference was taken while the instrument settled after a retrace.</summary>
    ReferenceSettling = 256,
}
