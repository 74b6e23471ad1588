namespace Acquire.Traces;

/// <summary>What is kept across sweeps.</summary>
public sealed record TraceOptions
{
    /// <summary>Sweeps kept in the history; 0 (the default) keeps none.</summary>
    /// <value>0 to 65,536.</value>
    public int HistorySweeps { get; init; }

    /// <summary>Whether an aborted sweep enters hold, average and history; default false.</summary>
    public bool CountAborted { get; init; }
}
