using Acquire.Capture;
using Acquire.Harness.Inspect.Survey;

namespace Acquire.Harness.Inspect;

/// <summary>First walk: the engine, and beside it the survey of every channel.</summary>
internal sealed class FirstLook : IScanVisitor
{
    private readonly ChannelLook[] _channels;
    private readonly List<GapRow> _gaps = [];
    private readonly int _mostListed;
    private long _scans;

    /// <summary>Begins at scan 0.</summary>
    /// <param name="setup">Setup.</param>
    /// <param name="mostListed">Sweeps, and gaps, that are kept as they are.</param>
    public FirstLook(Setup setup, int mostListed)
    {
        _mostListed = mostListed;
        Sweeps = new SweepTally(mostListed);
        Engine = new SweepEngine(setup, Sweeps);
        _channels = [.. Enumerable.Range(0, setup.Scan.ChannelCount).Select(c => new ChannelLook(c, setup.Scan))];
    }

    /// <summary>What is to be shown the stream: this, and each channel's survey.</summary>
    public IReadOnlyList<IScanVisitor> Visitors => [this, .. _channels];

    /// <summary>Squared correlation of the ramp's channel with each vertical, scan by scan.</summary>
    public IReadOnlyList<double> RampLikeVerticals => [.. _channels.Select(c => c.RampLike).OfType<double>()];

    /// <summary>The engine.</summary>
    public SweepEngine Engine { get; }

    /// <summary>What it found.</summary>
    public SweepTally Sweeps { get; }

    /// <summary>Scans seen.</summary>
    public long ScanCount => _scans;

    /// <summary>The first gaps and breaks, in order.</summary>
    public IReadOnlyList<GapRow> Gaps => _gaps;

    /// <summary>Places where a known number of scans is missing.</summary>
    public long GapCount { get; private set; }

    /// <summary>Places where an unknown number of scans is missing.</summary>
    public long BreakCount { get; private set; }

    /// <inheritdoc/>
    public bool Scans(ReadOnlySpan<ushort> scans)
    {
        Engine.Process(scans);
        _scans += scans.Length / _channels.Length;
        return true;
    }

    /// <inheritdoc/>
    public bool Lost(long lostScans, GapCause cause)
    {
        Engine.Skip(lostScans, cause);
        GapCount++;
        Note(new GapRow(_scans, lostScans, cause));
        return true;
    }

    /// <inheritdoc/>
    public bool Broken(GapCause cause)
    {
        Engine.Break(cause);
        BreakCount++;
        Note(new GapRow(_scans, null, cause));
        return true;
    }

    /// <summary>The stream has ended.</summary>
    public IReadOnlyList<ChannelReport> Complete()
    {
        Engine.Complete();
        return [.. _channels.Select(c => c.Report())];
    }

    private void Note(GapRow gap)
    {
        if (_gaps.Count < _mostListed) _gaps.Add(gap);
    }
}
