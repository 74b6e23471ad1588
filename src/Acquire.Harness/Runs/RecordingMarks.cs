using Acquire.Capture;
using Acquire.Recordings;

namespace Acquire.Harness.Runs;

/// <summary>Gives an engine the marks of a recording, each before the scan that it is for.</summary>
internal sealed class RecordingMarks
{
    private readonly RecordingAnnotation[] _marks;
    private int _set;
    private ushort? _word;

    /// <summary>Begins at scan 0.</summary>
    /// <param name="annotations">Of the recording; those without a mark are passed over.</param>
    public RecordingMarks(IEnumerable<RecordingAnnotation> annotations)
    {
        _marks = [.. annotations.Where(a => a.Mark is not null).OrderBy(a => a.StartScan)];
    }

    /// <summary>Sets marks that are due.</summary>
    /// <param name="engine">The engine.</param>
    /// <param name="position">Index in the file of its next scan.</param>
    public void Set(SweepEngine engine, long position)
    {
        for (; _set < _marks.Length && _marks[_set].StartScan <= position; _set++)
        {
            // A word that is said again changes nothing, so no section begins there; a live session takes it so too.
            ushort word = _marks[_set].Mark!.Value;
            if (word == _word) continue;
            _word = word;
            engine.Mark(engine.Accounting.Scans + engine.Accounting.Lost, word);
        }
    }

    /// <summary>An unknown number of scans is missing here, behind which no word holds that was said before.</summary>
    /// <param name="engine">The engine.</param>
    /// <param name="cause">Why.</param>
    public void Break(SweepEngine engine, GapCause cause)
    {
        engine.Break(cause);
        _word = null;
    }

    /// <summary>Processes scans, cut where there are marks.</summary>
    /// <param name="engine">The engine.</param>
    /// <param name="scans">Interleaved words, whole scans.</param>
    /// <param name="position">Index in the file of the first.</param>
    public void Process(SweepEngine engine, ReadOnlySpan<ushort> scans, long position)
    {
        int channels = engine.Setup.Scan.ChannelCount;
        while (!scans.IsEmpty)
        {
            Set(engine, position);
            long count = scans.Length / channels;
            if (_set < _marks.Length) count = Math.Min(count, _marks[_set].StartScan - position);
            engine.Process(scans[..((int)count * channels)]);
            scans = scans[((int)count * channels)..];
            position += count;
        }
    }
}
