using System.Collections.Concurrent;
using System.Runtime.ExceptionServices;

namespace Acquire.Harness.Runs;

/// <summary>Writes sweeps as text on threads of its own, so that the engine goes on meanwhile; a few sweeps behind, never more.</summary>
/// <remarks>
/// To make text takes longer than the engine does: several threads make that of a sweep each, and write it in the order in which sweeps came.
/// What goes wrong in writing is thrown to whoever hands over the next sweep, or ends it.
/// </remarks>
internal sealed class SweepWriting : IDisposable
{
    // More would wait for the engine.
    private const int MostThreads = 3;

    // Sweeps that wait while as many are made.
    private const int MostWaiting = 3;

    // Sweeps of many columns and verticals are large: then one that is filled while others are written.
    private const int MostColumns = 1 << 16;

    private readonly BlockingCollection<KeptSweep> _free = [];
    private readonly BlockingCollection<(KeptSweep Sweep, long Turn)> _full = [];
    private readonly ISweepText[] _texts;
    private readonly Thread[] _threads;
    private readonly object _gate = new();
    private ExceptionDispatchInfo? _failure;
    private long _added;
    private long _turn;

    /// <summary>Allocates what it needs and starts its threads.</summary>
    /// <param name="setup">Says how many columns, verticals and domains there are.</param>
    /// <param name="textOf">Called for each thread, here; what it gives is disposed of with this object.</param>
    /// <param name="threads">How many, or 0: as many as are of use.</param>
    public SweepWriting(Setup setup, Func<ISweepText> textOf, int threads = 0)
    {
        if (threads == 0) threads = Math.Min(Environment.ProcessorCount, MostThreads);
        int columns = setup.Columns.ColumnCount * setup.Scan.VerticalChannels.Count;
        for (int i = threads + Math.Clamp(MostColumns / columns, 1, MostWaiting); i > 0; i--) _free.Add(new KeptSweep(setup));
        _texts = [.. Enumerable.Range(0, threads).Select(_ => textOf())];
        _threads = [.. _texts.Select(text => new Thread(() => Run(text)) { IsBackground = true, Name = "sweep writing" })];
        foreach (Thread thread in _threads) thread.Start();
    }

    /// <summary>Copies a sweep to be written; waits while the ones before it are.</summary>
    /// <param name="sweep">The engine's view.</param>
    public void Add(in SweepView sweep)
    {
        KeptSweep kept = _free.Take();
        Volatile.Read(ref _failure)?.Throw();
        kept.Take(sweep);
        _full.Add((kept, _added++));
    }

    /// <summary>Waits until every sweep is written.</summary>
    public void Complete()
    {
        End();
        _failure?.Throw();
    }

    /// <summary>Ends the threads; what is waiting is still written.</summary>
    public void Dispose()
    {
        End();
        _free.Dispose();
        _full.Dispose();
        foreach (ISweepText text in _texts) text.Dispose();
    }

    private void End()
    {
        if (_full.IsAddingCompleted) return;
        _full.CompleteAdding();
        foreach (Thread thread in _threads) thread.Join();
    }

    private void Run(ISweepText text)
    {
        foreach ((KeptSweep sweep, long turn) in _full.GetConsumingEnumerable())
        {
            Try(() => text.Make(sweep.AsView()));
            _free.Add(sweep);
            WaitFor(turn);
            Try(text.Write);
            End(turn);
        }
    }

    // Nothing more is made or written once something has gone wrong.
    private void Try(Action part)
    {
        if (Volatile.Read(ref _failure) is not null) return;
        try
        {
            part();
        }
        catch (Exception exception)
        {
            Interlocked.CompareExchange(ref _failure, ExceptionDispatchInfo.Capture(exception), null);
        }
    }

    private void WaitFor(long turn)
    {
        lock (_gate)
        {
            while (_turn != turn) Monitor.Wait(_gate);
        }
    }

    private void End(long turn)
    {
        lock (_gate)
        {
            _turn = turn + 1;
            Monitor.PulseAll(_gate);
        }
    }
}
