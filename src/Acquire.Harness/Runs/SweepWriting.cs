using System.Collections.Concurrent;
using System.Runtime.ExceptionServices;

namespace Acquire.Harness.Runs;

/// <summary>Writes sweeps as text on a thread of its own, so that the engine goes on meanwhile; a few sweeps behind, never more.</summary>
/// <remarks>What goes wrong in writing is thrown to whoever hands over the next sweep, or ends it.</remarks>
internal sealed class SweepWriting : IDisposable
{
    private const int MostSweeps = 4;

    // Sweeps of many columns and verticals are large: then two, of which one is filled while the other is written.
    private const int MostColumns = 1 << 16;

    private readonly SweepWriter _write;
    private readonly BlockingCollection<KeptSweep> _free = [], _full = [];
    private readonly Thread _thread;
    private ExceptionDispatchInfo? _failure;

    /// <summary>Allocates what it needs and starts the thread.</summary>
    /// <param name="setup">Says how many columns, verticals and domains there are.</param>
    /// <param name="write">Writes one sweep; called on the thread, one sweep after another.</param>
    public SweepWriting(Setup setup, SweepWriter write)
    {
        _write = write;
        int columns = setup.Columns.ColumnCount * setup.Scan.VerticalChannels.Count;
        for (int i = Math.Clamp(MostColumns / columns, 2, MostSweeps); i > 0; i--) _free.Add(new KeptSweep(setup));
        _thread = new Thread(Run) { IsBackground = true, Name = "sweep writing" };
        _thread.Start();
    }

    /// <summary>Writes one sweep.</summary>
    /// <param name="sweep">Valid during the call.</param>
    public delegate void SweepWriter(in SweepView sweep);

    /// <summary>Copies a sweep to be written; waits while the ones before it are.</summary>
    /// <param name="sweep">The engine's view.</param>
    public void Add(in SweepView sweep)
    {
        KeptSweep kept = _free.Take();
        Volatile.Read(ref _failure)?.Throw();
        kept.Take(sweep);
        _full.Add(kept);
    }

    /// <summary>Waits until every sweep is written.</summary>
    public void Complete()
    {
        End();
        _failure?.Throw();
    }

    /// <summary>Ends the thread; what is waiting is still written.</summary>
    public void Dispose()
    {
        End();
        _free.Dispose();
        _full.Dispose();
    }

    private void End()
    {
        if (_full.IsAddingCompleted) return;
        _full.CompleteAdding();
        _thread.Join();
    }

    private void Run()
    {
        foreach (KeptSweep sweep in _full.GetConsumingEnumerable())
        {
            try
            {
                if (_failure is null) _write(sweep.AsView());
            }
            catch (Exception exception)
            {
                Volatile.Write(ref _failure, ExceptionDispatchInfo.Capture(exception));
            }

            _free.Add(sweep);
        }
    }
}
