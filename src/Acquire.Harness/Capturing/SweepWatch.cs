using Acquire.Capture;
using Acquire.Sweeps;

namespace Acquire.Harness.Capturing;

/// <summary>Counts the sweeps of a stream, with an engine of its own. Its counts may be read by any thread.</summary>
/// <param name="setupOf">The setup for what the source says of its scans.</param>
internal sealed class SweepWatch(Func<StreamDescription, Setup> setupOf) : IScanReceiver, ISweepSink
{
    private SweepEngine? _engine;
    private StreamDescription _description = new();
    private long _position;
    private long _complete;

    /// <summary>Complete sweeps so far.</summary>
    public long Complete => Volatile.Read(ref _complete);

    /// <inheritdoc/>
    public void Describe(StreamDescription description)
    {
        bool sameScans = _description.Scan.Roles.SequenceEqual(description.Scan.Roles) && _description.Scan.Bits == description.Scan.Bits
            && Nullable.Equals(_description.Scan.ScanRateHz, description.Scan.ScanRateHz);
        _description = description;
        if (_engine is null || !sameScans) Begin();
    }

    /// <inheritdoc/>
    public void Take(ReadOnlySpan<ushort> scans)
    {
        if (_engine is null) Begin();
        _engine!.Process(scans);
        _position += scans.Length / _description.Scan.ChannelCount;
    }

    /// <inheritdoc/>
    public void Skip(long lostScans, GapCause cause)
    {
        // Nothing loses that many: the position is not to be believed.
        if (lostScans > ScanGap.MostLostScans - _position)
        {
            _engine?.Break(cause);
            return;
        }

        _engine?.Skip(lostScans, cause);
        _position += lostScans;
    }

    /// <inheritdoc/>
    public void Break(GapCause cause, long atLeast) => _engine?.Break(cause);

    /// <inheritdoc/>
    public void Mark(long position, ushort word)
    {
        // A sweep is one whatever word holds.
    }

    /// <inheritdoc/>
    public void Say(string text)
    {
        // The recorder notes it.
    }

    /// <inheritdoc/>
    public void SweepEnded(in SweepView sweep)
    {
        if (sweep.Info.Complete) Volatile.Write(ref _complete, _complete + 1);
    }

    /// <summary>No scan comes any more: a sweep whose end was in doubt is counted as a replay of the recording counts it.</summary>
    public void End() => _engine?.Complete();

    private void Begin()
    {
        // Other scans begin the next recording, so here the one before has ended.
        End();
        _engine = new SweepEngine(setupOf(_description), this);
        _position = 0;
    }
}
