namespace Acquire.Sources.Synthetic;

/// <summary>What one read of a synthetic bench gave.</summary>
public enum SyntheticReadKind
{
    /// <summary>Scans were written.</summary>
    Scans,

    /// <summary>A known number of scans is missing here; nothing was written.</summary>
    Gap,

    /// <summary>An unknown number of scans is missing here; nothing was written.</summary>
    Break,

    /// <summary>The stream is over; nothing was written, and nothing ever will be.</summary>
    End,
}
