using System.Runtime.CompilerServices;

namespace Acquire.Sources.Streams;

/// <summary>Waits on one thread for asynchronous reads, one after another, and gives up a wait at once when stopped. Allocates nothing per read.</summary>
internal sealed class ReadWait : IDisposable
{
    private readonly object _gate = new();
    private readonly Action _completed;
    private readonly CancellationTokenRegistration _registration;
    private bool _done;
    private bool _stopped;

    public ReadWait(CancellationToken stop)
    {
        _completed = Complete;
        _registration = stop.UnsafeRegister(static state => ((ReadWait)state!).Stop(), this);
    }

    /// <summary>Waits for a read.</summary>
    /// <param name="read">Not used by anybody else. After a stop it may go on: its buffer is then not to be used again.</param>
    /// <param name="result">What the read gave.</param>
    /// <returns>False when stopped first.</returns>
    /// <remarks>What the read threw is thrown here, unless stopped first.</remarks>
    public bool TryWait<T>(in ValueTask<T> read, out T result)
    {
        ConfiguredValueTaskAwaitable<T>.ConfiguredValueTaskAwaiter awaiter = read.ConfigureAwait(false).GetAwaiter();
        if (!awaiter.IsCompleted)
        {
            _done = false;
            awaiter.UnsafeOnCompleted(_completed);
            lock (_gate)
            {
                while (!_done && !_stopped) Monitor.Wait(_gate);
                if (!_done)
                {
                    result = default!;
                    return false;
                }
            }
        }

        result = awaiter.GetResult();
        return true;
    }

    public void Dispose() => _registration.Dispose();

    private void Complete()
    {
        lock (_gate)
        {
            _done = true;
            Monitor.Pulse(_gate);
        }
    }

    private void Stop()
    {
        lock (_gate)
        {
            _stopped = true;
            Monitor.Pulse(_gate);
        }
    }
}
