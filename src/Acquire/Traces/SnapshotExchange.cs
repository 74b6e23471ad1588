using Acquire.Columns;

namespace Acquire.Traces;

/// <summary>Hands whole states of the traces from the engine's thread to readers on any threads. Nobody waits for the other side.</summary>
/// <remarks>
/// The engine copies what changed into a buffer that nobody reads and publishes it; a reader pins the published buffer, copies from it
/// into storage of its own and lets go. The engine never waits, fails or allocates, however slow a reader is. A reader takes a bounded number of steps,
/// however fast the engine is, unless more readers copy at the same time than was stated: then it spins until one of those is done.
/// </remarks>
public sealed class SnapshotExchange
{
    /// <summary>Most readers that may be stated: each costs a copy of all traces and a look by the engine at each publication.</summary>
    public const int MaxReaders = 1_024;

    private readonly Trace[] _traces;
    private readonly TraceSnapshot[] _buffers;
    private readonly SnapshotPins _pins;
    private long _version;

    /// <summary>Allocates the buffers: two more than readers.</summary>
    /// <param name="traces">The engine's traces, one per vertical.</param>
    /// <param name="readers">Readers that may copy at the same time, 1 to <see cref="MaxReaders"/>.</param>
    internal SnapshotExchange(IReadOnlyList<Trace> traces, int readers)
    {
        if (readers is < 1 or > MaxReaders)
            throw new ArgumentOutOfRangeException(nameof(readers), readers, $"Snapshots are for {readers:N0} readers at a time; it must be 1 to {MaxReaders:N0}. Count those that copy at the same moment.");
        _traces = [.. traces];
        _pins = new SnapshotPins(readers);
        _buffers = [.. Enumerable.Range(0, _pins.BufferCount).Select(_ => new TraceSnapshot(this, _traces))];
    }

    internal SnapshotPins Pins => _pins;

    /// <summary>Makes storage for a reader: as large as all traces together.</summary>
    /// <returns>The reader's own, as long as it lives; empty until the first <see cref="Read"/>. Any thread may call this.</returns>
    public TraceSnapshot CreateSnapshot() => new(this, _traces);

    /// <summary>Copies the latest published state, as far as it differs from what the storage holds.</summary>
    /// <param name="snapshot">The reader's storage, made by this exchange.</param>
    /// <returns>False when nothing was published since it was read last.</returns>
    /// <exception cref="ArgumentException">The storage was made by another exchange.</exception>
    /// <remarks>Any thread. Allocates nothing.</remarks>
    public bool Read(TraceSnapshot snapshot)
    {
        ArgumentNullException.ThrowIfNull(snapshot);
        if (snapshot.Owner != this) throw new ArgumentException("The snapshot was made by another exchange; make one with this exchange's CreateSnapshot.", nameof(snapshot));
        int buffer = _pins.Pin(out int slot);
        try
        {
            TraceSnapshot source = _buffers[buffer];
            if (source.Version == snapshot.Version) return false;
            snapshot.CopyFrom(source.Traces, source.Version, source.EndPosition, source.Axis);
            return true;
        }
        finally
        {
            _pins.Unpin(slot);
        }
    }

    /// <summary>Publishes the traces as they stand; the engine's thread only, after the traces' own publish has ended.</summary>
    /// <param name="endPosition">One past the position of the last scan taken.</param>
    /// <param name="axis">Where the columns lie on the ramp.</param>
    internal void Publish(long endPosition, ColumnAxis? axis)
    {
        int buffer = _pins.FindFree();
        _buffers[buffer].CopyFrom(_traces, ++_version, endPosition, axis);
        _pins.Publish(buffer);
    }
}
