using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire.Sources.Sessions;

/// <summary>One ended sweep as a consumer's own copy. Dispose it when done: its memory serves the next sweep.</summary>
/// <remarks>
/// The columns belong to the report and do not change; any thread may read them until <see cref="Dispose"/>. A report that is not disposed is no leak: the collector takes it, and
/// another sweep allocates. Disposing it twice does nothing the second time, also when its memory serves another report by then.
/// </remarks>
public sealed class SweepReport : IDisposable
{
    private readonly ReportPool _pool;
    private ReportStorage? _storage;

    internal SweepReport(ReportPool pool, ReportStorage storage, in SweepView sweep, long droppedBefore)
    {
        _pool = pool;
        _storage = storage;
        Info = sweep.Info;
        Axis = sweep.Axis;
        DroppedBefore = droppedBefore;
    }

    /// <summary>What is known of the sweep.</summary>
    public SweepInfo Info { get; }

    /// <summary>Where its columns lie on the ramp.</summary>
    public ColumnAxis Axis { get; }

    /// <summary>Sweeps between the report before and this one that were dropped because the consumer had no time for them.</summary>
    public long DroppedBefore { get; }

    /// <summary>Columns of each vertical, in channel order; column 0 is where the beam starts.</summary>
    /// <exception cref="ObjectDisposedException">The report was disposed.</exception>
    public IReadOnlyList<ColumnStatistics> Verticals => Storage.Verticals;

    /// <summary>Marks of the columns, the same for all verticals; empty where there are none.</summary>
    /// <exception cref="ObjectDisposedException">The report was disposed.</exception>
    public ReadOnlySpan<ColumnMarks> Marks => Storage.Marks;

    private ReportStorage Storage
    {
        get
        {
            ReportStorage? storage = Volatile.Read(ref _storage);
            ObjectDisposedException.ThrowIf(storage is null, this);
            return storage;
        }
    }

    /// <summary>Gives the memory back; spans and columns taken from the report are not to be used any more.</summary>
    public void Dispose()
    {
        if (Interlocked.Exchange(ref _storage, null) is { } storage) _pool.Return(storage);
    }
}
