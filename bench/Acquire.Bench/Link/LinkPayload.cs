namespace Acquire.Bench.Link;

/// <summary>What the scans of a measured link hold.</summary>
public enum LinkPayload
{
    /// <summary>Any codes of 12 bits, two in three bytes.</summary>
    Packed,

    /// <summary>Codes below 16, packed: an input at rest.</summary>
    PackedSmall,

    /// <summary>Any words of 16 bits.</summary>
    Random,

    /// <summary>Codes below 256 in words of 16 bits: every other byte is zero.</summary>
    Small,

    /// <summary>Codes below 512 in words of 16 bits: every fourth byte is zero, irregularly.</summary>
    Mixed,

    /// <summary>The codes for which stuffing is slowest, A500 to A5FF in words of 16 bits.</summary>
    Worst,
}
