using Acquire.Capture;
using Acquire.Sources.Recording;

namespace Acquire.Harness.Capturing;

/// <summary>Takes the stream of a capture: the recorder first, then whoever counts sweeps. Ends it after so many scans.</summary>
/// <param name="recorder">Writes.</param>
/// <param name="watch">Counts sweeps; should take its time on a thread of its own, since every scan that it sees is recorded already.</param>
/// <param name="mostScans">Scans after which nothing more is taken, or null.</param>
/// <param name="enough">Called once when that is reached.</param>
/// <param name="look">Called after each call, and while nothing comes: to show how far it is.</param>
internal sealed class CaptureReceiver(CaptureRecorder recorder, IScanReceiver watch, long? mostScans, Action enough, Action<CaptureReceiver> look) : IScanReceiver
{
    private StreamDescription _description = new();
    private double? _rateHz;
    private bool _full;

    /// <summary>The recorder, for its counts.</summary>
    public CaptureRecorder Recorder => recorder;

    /// <summary>What the source says of its scans.</summary>
    public StreamDescription Description => _description;

    /// <summary>Whether scans came at more than one scan rate.</summary>
    public bool RatesDiffer { get; private set; }

    /// <summary>The device's last words, or null.</summary>
    public string? LastText { get; private set; }

    /// <inheritdoc/>
    public void Describe(StreamDescription description)
    {
        if (_full) return;
        _description = description;
        NoteRate(description.Scan.ScanRateHz);
        recorder.Describe(description);
        watch.Describe(description);
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
        watch.Take(scans);
        look(this);
        if (_full) enough();
    }

    /// <inheritdoc/>
    public void Skip(long lostScans, GapCause cause)
    {
        if (_full) return;
        recorder.Skip(lostScans, cause);
        watch.Skip(lostScans, cause);
        look(this);
    }

    /// <inheritdoc/>
    public void Break(GapCause cause, long atLeast)
    {
        if (_full) return;
        recorder.Break(cause, atLeast);
        watch.Break(cause, atLeast);
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

    // A rate that is said only after the first scans holds for those too.
    private void NoteRate(double? rateHz)
    {
        if (rateHz is null) return;
        RatesDiffer |= recorder.Scans > 0 && _rateHz is not null && !Nullable.Equals(rateHz, _rateHz);
        _rateHz = rateHz;
    }

    /// <summary>Nothing comes: flushes if it is time.</summary>
    public void Idle()
    {
        recorder.Tick();
        look(this);
    }
}
