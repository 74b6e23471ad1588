using System.Diagnostics;
using System.Runtime.InteropServices;
using Acquire.Capture;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>A source that runs on a thread of its own, as a host would have it.</summary>
internal sealed partial class SourceRun : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);
    private readonly CancellationTokenSource _stop = new();
    private readonly Thread _thread;
    private long _endedAt;
    private int _threadId;

    public SourceRun(IScanSource source, IScanReceiver receiver)
    {
        Source = source;
        _thread = new Thread(() =>
        {
            Volatile.Write(ref _threadId, ThreadId());
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

    /// <summary>Waits until the kernel says that the source's thread sleeps: it waits for its bytes.</summary>
    public void WaitUntilAsleep()
    {
        int asleep = 0;
        Assert.True(SpinWait.SpinUntil(() => (asleep = IsAsleep() ? asleep + 1 : 0) >= 3, Patience), $"{Source.Name} never waits.");
    }

    /// <summary>Signals the stop only.</summary>
    public void SignalStop() => _stop.Cancel();

    /// <summary>Waits until the source has ended by itself.</summary>
    public void WaitForEnd()
    {
        if (!_thread.Join(Patience)) Assert.Fail($"{Source.Name} did not end.");
    }

    private bool IsAsleep()
    {
        int id = Volatile.Read(ref _threadId);
        if (id == 0) return false;

        // "id (name) state ...": the name may hold anything, a bracket too.
        string line = File.ReadAllText($"/proc/self/task/{id}/stat");
        return line[line.LastIndexOf(')') + 2] == 'S';
    }

    [LibraryImport("libc", EntryPoint = "gettid")]
    private static partial int ThreadId();

    public void Dispose()
    {
        _stop.Cancel();
        if (_thread.Join(Patience)) _stop.Dispose();
    }
}
