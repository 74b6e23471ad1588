using Acquire.Columns;

namespace Acquire.Traces;

/// <summary>The whole state of all traces at one moment: after one call of the engine or at one sweep's end.</summary>
/// <remarks>
/// Storage that its reader owns: made by <see cref="SnapshotExchange.CreateSnapshot"/>, changed only by
/// <see cref="SnapshotExchange.Read"/> with it, on the thread that calls that. One thread at a time may use it; each reader has its own.
/// </remarks>
public sealed class TraceSnapshot
{
    private readonly Trace[] _traces;

    internal TraceSnapshot(SnapshotExchange owner, IReadOnlyList<Trace> traces)
    {
        Owner = owner;
        _traces = [.. traces.Select(t => new Trace(t.ColumnCount, t.Domains, reader: true))];
    }

    /// <summary>Traces of all verticals in channel order, all of the same moment.</summary>
    public IReadOnlyList<Trace> Traces => _traces;

    /// <summary>Rises with each state that the engine publishes; 0 before the first.</summary>
    public long Version { get; private set; }

    /// <summary>One past the position of the last scan that this state knows of, lost scans counted.</summary>
    public long EndPosition { get; private set; }

    /// <summary>Where the columns lie on the ramp; null before the first state.</summary>
    public ColumnAxis? Axis { get; private set; }

    internal SnapshotExchange Owner { get; }

    internal void CopyFrom(IReadOnlyList<Trace> traces, long version, long endPosition, ColumnAxis? axis)
    {
        for (int i = 0; i < _traces.Length; i++) _traces[i].CopyFrom(traces[i]);
        Version = version;
        EndPosition = endPosition;
        Axis = axis;
    }
}
