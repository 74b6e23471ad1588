namespace Acquire.Harness.Tests.Doubles;

/// <summary>A clock that moves only when a test says so.</summary>
internal sealed class ManualClock : TimeProvider
{
    private DateTimeOffset _now = new(2031, 5, 6, 7, 8, 9, TimeSpan.Zero);

    public override long TimestampFrequency => TimeSpan.TicksPerSecond;

    public override long GetTimestamp() => _now.Ticks;

    public override DateTimeOffset GetUtcNow() => _now;

    public void Advance(TimeSpan time) => _now += time;
}
