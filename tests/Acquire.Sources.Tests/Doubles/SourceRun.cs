using System.Diagnostics;
using Acquire.Capture;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>A source that runs on a thread of its own, as a host would have it.</summary>
internal sealed class SourceRun : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);
    private readonly CancellationTokenSource _stop = new();
    private readonly Thread _thread;
    private long _endedAt;

    public SourceRun(IScanSource source, IScanReceiver receiver)
    {
        Source = source;
        _thread = new Thread(() =>
        {
            try
            {
                source.Run(receiver, _stop.Token);
            }
            catch (Exception fault)
            {
                Fault = fault;
            }

            _endedAt = Stopwatch.GetTimestamp();
        })
        { IsBackground = true };
        _thread.Start();
    }

    public IScanSource Source { get; }

    public Exception? Fault { get; private set; }

    /// <summary>Signals the stop and waits for the end.</summary>
    /// <returns>Time from the signal to the end of the run.</returns>
    public TimeSpan Stop()
    {
        long signalled = Stopwatch.GetTimestamp();
        _stop.Cancel();
        WaitForEnd();
        return Stopwatch.GetElapsedTime(signalled, _endedAt);
    }

    /// <summary>Signals the stop only.</summary>
    public void SignalStop() => _stop.Cancel();

    /// <summary>Waits until the source has ended by itself.</summary>
    public void WaitForEnd()
    {
        if (!_thread.Join(Patience)) Assert.Fail($"{Source.Name} did not end.");
    }

    public void Dispose()
    {
        _stop.Cancel();
        if (_thread.Join(Patience)) _stop.Dispose();
    }
}
