namespace Acquire.Sources.Sessions;

/// <summary>What a session has counted so far.</summary>
public readonly record struct SessionCounts
{
    /// <summary>Where every scan went, losses of every cause included.</summary>
    public Accounting Accounting { get; init; }

    /// <summary>Of the lost scans, those that found no free half because the engine was late.</summary>
    public long OverrunScans { get; init; }

    /// <summary>Scans missing in breaks at the least; not in <see cref="Acquire.Accounting.Lost"/>, since nobody knows their number.</summary>
    public long LostInBreaksAtLeast { get; init; }

    /// <summary>Sweeps that ended, dropped ones included.</summary>
    public long Sweeps { get; init; }

    /// <summary>Sweeps that no consumer got because it had no time for them.</summary>
    public long SweepsDropped { get; init; }

    /// <summary>Times that the source lost its connection and made it anew.</summary>
    public long Reconnections { get; init; }
}
