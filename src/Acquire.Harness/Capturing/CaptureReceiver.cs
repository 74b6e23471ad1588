using Acquire.Capture;
using Acquire.Sources.Recording;
using Acquire.Sweeps;

namespace Acquire.Harness.Capturing;

/// <summary>Takes the stream of a capture: the recorder first, then an engine that counts sweeps. Ends it after so many scans.</summary>
/// <param name="recorder">Writes.</param>
/// <param name="setupOf">The setup for what the source says of its scans.</param>
/// <param name="mostScans">Scans after which nothing more is taken, or null.</param>
/// <param name="enough">Called once when that is reached.</param>
/// <param name="look">Called after each call, and while nothing comes: to show how far it is.</param>
internal sealed class CaptureReceiver(
    CaptureRecorder recorder, Func<StreamDescription, Setup> setupOf, long? mostScans, Action enough, Action<CaptureReceiver> look) : IScanReceiver
{
    private readonly SweepCount _sweeps = new();
    private SweepEngine? _engine;
    private StreamDescription _description = new();
    private bool _full;

    /// <summary>The recorder, for its counts.</summary>
    public CaptureRecorder Recorder => recorder;

    /// <summary>Sweeps that ended, complete or not.</summary>
    public long Sweeps => _sweeps.Ended;

    /// <summary>Complete sweeps.</summary>
    public long CompleteSweeps => _sweeps.Complete;

    /// <summary>What the source says of its scans.</summary>
    public StreamDescription Description => _description;

    /// <summary>The device's last words, or null.</summary>
    public string? LastText { get; private set; }

    /// <inheritdoc/>
    public void Describe(StreamDescription description)
    {
        if (_full) return;
        bool sameScans = _description.Scan.Roles.SequenceEqual(description.Scan.Roles) && _description.Scan.Bits == description.Scan.Bits
            && Nullable.Equals(_description.Scan.ScanRateHz, description.Scan.ScanRateHz);
        if (_engine is null || !sameScans) _engine = new SweepEngine(setupOf(description), _sweeps);
        _description = description;
        recorder.Describe(description);
    }

    /// <inheritdoc/>
    public void Take(ReadOnlySpan<ushort> scans)
    {
        if (_full) return;
        int channels = _description.Scan.ChannelCount;
        if (mostScans is { } most && scans.Length / channels >= most - recorder.Scans)
        {
            scans = scans[..(int)((most - recorder.Scans) * channels)];
            _full = true;
        }

        recorder.Take(scans);
        _engine ??= new SweepEngine(setupOf(_description), _sweeps);
        _engine.Process(scans);
        look(this);
        if (_full) enough();
    }

    /// <inheritdoc/>
    public void Skip(long lostScans, GapCause cause)
    {
        if (_full) return;
        long breaks = recorder.Breaks;
        recorder.Skip(lostScans, cause);

        // What the recorder does not believe the engine need not either.
        if (recorder.Breaks > breaks) _engine?.Break(cause);
        else _engine?.Skip(lostScans, cause);
        look(this);
    }

    /// <inheritdoc/>
    public void Break(GapCause cause, long atLeast)
    {
        if (_full) return;
        recorder.Break(cause, atLeast);
        _engine?.Break(cause);
        look(this);
    }

    /// <inheritdoc/>
    public void Mark(long position, ushort word)
    {
        if (!_full) recorder.Mark(position, word);
    }

    /// <inheritdoc/>
    public void Say(string text)
    {
        if (_full) return;
        LastText = text;
        recorder.Say(text);
    }

    /// <summary>Nothing comes: flushes if it is time.</summary>
    public void Idle()
    {
        recorder.Tick();
        look(this);
    }

    private sealed class SweepCount : ISweepSink
    {
        public long Ended { get; private set; }

        public long Complete { get; private set; }

        public void SweepEnded(in SweepView sweep)
        {
            Ended++;
            if (sweep.Info.Complete) Complete++;
        }
    }
}
