using Acquire.Capture;
using Acquire.Harness.Inspect.Spectra;
using Acquire.Harness.Inspect.Survey;

namespace Acquire.Harness.Inspect;

/// <summary>First walk: the survey of every channel, and the engine, side by side.</summary>
internal sealed class FirstLook : IScanVisitor
{
    private readonly ChannelSurvey[] _channels;
    private readonly int _ramp;
    private readonly IReadOnlyList<int> _verticals;
    private readonly Correlation[] _alike;
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
        _channels = [.. Enumerable.Range(0, setup.Scan.ChannelCount).Select(c => new ChannelSurvey(c, setup.Scan))];
        _ramp = setup.Scan.RampChannel;
        _verticals = setup.Scan.VerticalChannels;
        _alike = [.. _verticals.Select(_ => new Correlation())];
    }

    /// <summary>Squared correlation of the ramp's channel with each vertical, scan by scan.</summary>
    public IReadOnlyList<double> RampLikeVerticals => [.. _alike.Select(a => a.Result.Squared)];

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
        foreach (ChannelSurvey channel in _channels) channel.Add(scans, _channels.Length);
        for (int v = 0; v < _alike.Length; v++) _alike[v].Add(scans, _channels.Length, _verticals[v], _ramp);
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
        foreach (ChannelSurvey channel in _channels) channel.Break();
    }
}
