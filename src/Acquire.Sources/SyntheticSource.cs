using Acquire.Capture;
using Acquire.Sources.Synthetic;

namespace Acquire.Sources;

/// <summary>Scans of a synthetic bench, as fast as the receiver takes them or paced as a converter would give them.</summary>
public sealed class SyntheticSource : IScanSource
{
    private const int ScansPerBlock = 4_096;
    private const double SecondsPerBlock = 0.01;

    // No timer waits for longer than some weeks; one that is due too early is set again.
    private const double MostSecondsPerWait = 3_600;

    private readonly SyntheticBench _bench;
    private readonly SyntheticOptions _options;
    private readonly object _gate = new();
    private int _hasRun;
    private bool _due;
    private bool _stopped;

    /// <summary>Makes a source.</summary>
    /// <param name="options">What the bench is like.</param>
    /// <param name="name">What the source is called in messages.</param>
    /// <exception cref="ArgumentException">An option is out of its range.</exception>
    public SyntheticSource(SyntheticOptions options, string name = "synth:")
    {
        ArgumentException.ThrowIfNullOrEmpty(name);
        _bench = new SyntheticBench(options);
        _options = options;
        Name = VisibleText.Whole(name);
    }

    /// <inheritdoc/>
    public string Name { get; }

    /// <summary>Whether the bench waits: without a pace.</summary>
    public bool CanWait => Pace is null;

    /// <summary>Seconds of the bench for each second of the clock: 1 is real time; null (the default) is as fast as it goes.</summary>
    /// <value>Positive and finite; <see cref="Run"/> throws <see cref="InvalidOperationException"/> for another.</value>
    public double? Pace { get; init; }

    /// <summary>The clock that <see cref="Pace"/> goes by; the system's unless given.</summary>
    public TimeProvider Clock { get; init; } = TimeProvider.System;

    /// <summary>What the bench really did so far; the thread of <see cref="Run"/> while that goes on.</summary>
    public SyntheticTruth Truth => _bench.Truth;

    /// <inheritdoc/>
    public void Run(IScanReceiver receiver, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(receiver);
        if (Pace is { } pace && !(pace > 0 && double.IsFinite(pace)))
            throw new InvalidOperationException($"Pace is {pace}; it must be positive and finite, or null for no pace.");
        if (Interlocked.Exchange(ref _hasRun, 1) != 0)
            throw new InvalidOperationException($"{Name} has run before; a source runs once. Make another source.");
        if (stop.IsCancellationRequested) return;
        receiver.Describe(new StreamDescription
        {
            Scan = _bench.Format,
            Volts = VoltsOf(),
            Device = "Synthetic bench",
        });
        if (Pace is null) RunFree(receiver, stop);
        else RunPaced(receiver, stop);
    }

    private void RunFree(IScanReceiver receiver, CancellationToken stop)
    {
        ushort[] scans = new ushort[ScansPerBlock * _bench.Format.ChannelCount];
        while (!stop.IsCancellationRequested && GiveOne(receiver, scans))
        {
        }
    }

    private void RunPaced(IScanReceiver receiver, CancellationToken stop)
    {
        double rateHz = _options.ScanRateHz * Pace!.Value;
        ushort[] scans = new ushort[ScansPerBlock * _bench.Format.ChannelCount];
        using CancellationTokenRegistration stopping = stop.UnsafeRegister(static state => ((SyntheticSource)state!).Wake(stopped: true), this);
        using ITimer timer = Clock.CreateTimer(static state => ((SyntheticSource)state!).Wake(stopped: false), this, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
        long began = Clock.GetTimestamp();
        while (!stop.IsCancellationRequested)
        {
            long due = (long)(Clock.GetElapsedTime(began).TotalSeconds * rateHz);
            while (_bench.Position < due)
            {
                int count = (int)Math.Min(ScansPerBlock, due - _bench.Position);
                if (stop.IsCancellationRequested || !GiveOne(receiver, scans.AsSpan(0, count * _bench.Format.ChannelCount))) return;
            }

            double nextSeconds = Math.Clamp(1 / rateHz, SecondsPerBlock, MostSecondsPerWait);
            WaitFor(timer, TimeSpan.FromSeconds(nextSeconds));
        }
    }

    private bool GiveOne(IScanReceiver receiver, Span<ushort> scans)
    {
        SyntheticRead read = _bench.Read(scans);
        switch (read.Kind)
        {
            case SyntheticReadKind.Scans:
                if (read.Count > 0) receiver.Take(scans[..((int)read.Count * _bench.Format.ChannelCount)]);
                return true;
            case SyntheticReadKind.Gap:
                receiver.Skip(read.Count, GapCause.Overrun);
                return true;
            case SyntheticReadKind.Break:
                receiver.Break(GapCause.Reset, 0);
                return true;
            default:
                return false;
        }
    }

    private void WaitFor(ITimer timer, TimeSpan time)
    {
        lock (_gate)
        {
            _due = false;
            timer.Change(time, Timeout.InfiniteTimeSpan);
            while (!_due && !_stopped) Monitor.Wait(_gate);
        }
    }

    private void Wake(bool stopped)
    {
        lock (_gate)
        {
            if (stopped) _stopped = true;
            else _due = true;
            Monitor.Pulse(_gate);
        }
    }

    private Scales.CodeVolts?[] VoltsOf()
    {
        int vertical = 0;
        return [.. _bench.Format.Roles.Select(role => role switch
        {
            ChannelRole.Ramp => _options.Ramp.Volts,
            ChannelRole.Vertical => _options.VerticalOf(vertical++).Volts,
            _ => (Scales.CodeVolts?)null,
        })];
    }
}
