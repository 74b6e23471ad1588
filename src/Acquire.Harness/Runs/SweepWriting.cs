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
    private readonly KeptSweep[] _sweeps;
    private readonly SemaphoreSlim _free;
    private readonly SemaphoreSlim _full = new(0);
    private readonly Thread _thread;
    private ExceptionDispatchInfo? _failure;
    private int _next;
    private volatile bool _ended;

    /// <summary>Allocates what it needs and starts the thread.</summary>
    /// <param name="setup">Says how many columns, verticals and domains there are.</param>
    /// <param name="write">Writes one sweep; called on the thread, one sweep after another.</param>
    public SweepWriting(Setup setup, SweepWriter write)
    {
        _write = write;
        int columns = setup.Columns.ColumnCount * setup.Scan.VerticalChannels.Count;
        _sweeps = [.. Enumerable.Range(0, Math.Clamp(MostColumns / columns, 2, MostSweeps)).Select(_ => new KeptSweep(setup))];
        _free = new SemaphoreSlim(_sweeps.Length);
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
        _free.Wait();
        Volatile.Read(ref _failure)?.Throw();
        _sweeps[_next].Take(sweep);
        _next = (_next + 1) % _sweeps.Length;
        _full.Release();
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
        if (_ended) return;
        _ended = true;
        _full.Release();
        _thread.Join();
    }

    private void Run()
    {
        for (int at = 0; ; at = (at + 1) % _sweeps.Length)
        {
            _full.Wait();
            // Ended, and nothing waits: every one taken is free again.
            if (_ended && _full.CurrentCount == 0 && _free.CurrentCount == _sweeps.Length) return;
            try
            {
                _write(_sweeps[at].AsView());
            }
            catch (Exception exception)
            {
                Volatile.Write(ref _failure, ExceptionDispatchInfo.Capture(exception));
                _free.Release();
                return;
            }

            _free.Release();
        }
    }
}
