namespace Acquire.Sources.Tests.Doubles;

/// <summary>A clock with one timer that moves only when a test says so.</summary>
internal sealed class StepClock : TimeProvider
{
    private readonly object _gate = new();
    private long _ticks;
    private Action? _callback;
    private long? _due;

    public override long TimestampFrequency => TimeSpan.TicksPerSecond;

    public override long GetTimestamp()
    {
        lock (_gate) return _ticks;
    }

    public override ITimer CreateTimer(TimerCallback callback, object? state, TimeSpan dueTime, TimeSpan period)
    {
        lock (_gate) _callback = () => callback(state);
        return new StepTimer(this);
    }

    /// <summary>Waits until the timer is set.</summary>
    public void WaitForTimer()
    {
        lock (_gate)
        {
            while (_due is null)
                Assert.True(Monitor.Wait(_gate, TimeSpan.FromSeconds(20)), "The timer was never set.");
        }
    }

    /// <summary>Moves the clock; a timer that is due fires once.</summary>
    public void Advance(TimeSpan time)
    {
        Action? due = null;
        lock (_gate)
        {
            _ticks += time.Ticks;
            if (_due <= _ticks)
            {
                _due = null;
                due = _callback;
            }
        }

        due?.Invoke();
    }

    private sealed class StepTimer(StepClock clock) : ITimer
    {
        public bool Change(TimeSpan dueTime, TimeSpan period)
        {
            lock (clock._gate)
            {
                clock._due = dueTime < TimeSpan.Zero ? null : clock._ticks + dueTime.Ticks;
                Monitor.PulseAll(clock._gate);
            }

            return true;
        }

        public void Dispose()
        {
        }

        public ValueTask DisposeAsync() => ValueTask.CompletedTask;
    }
}
