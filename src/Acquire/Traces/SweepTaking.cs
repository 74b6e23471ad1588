namespace Acquire.Traces;

/// <summary>What a hold, an average or a history did with a sweep.</summary>
public enum SweepTaking
{
    /// <summary>It went in.</summary>
    Taken,

    /// <summary>It lies on a new axis or after a mark: what was there was dropped, and it went in as the first.</summary>
    StartedAnew,

    /// <summary>It was aborted, and aborted sweeps do not count; nothing changed.</summary>
    Aborted,

    /// <summary>It holds suspect scans and nobody said in which columns; nothing changed.</summary>
    Suspect,

    /// <summary>The block of sweeps is full; nothing changed.</summary>
    Finished,
}
