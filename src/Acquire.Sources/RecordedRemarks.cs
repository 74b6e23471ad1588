using Acquire.Capture;
using Acquire.Recordings;
using Acquire.Sources.Recording;

namespace Acquire.Sources;

/// <summary>Gives a receiver what the device of a recording said: its auxiliary words and its texts, each before the scan that it is said of.</summary>
/// <remarks>Gaps and breaks, which stand in the annotations for people, are told by the scans' own reading; what anybody else noted is not of the device.</remarks>
internal sealed class RecordedRemarks
{
    private readonly RecordingAnnotation[] _remarks;
    private int _given;

    /// <summary>Begins at scan 0.</summary>
    /// <param name="annotations">Of the recording, sorted by their first scan.</param>
    public RecordedRemarks(IEnumerable<RecordingAnnotation> annotations) => _remarks = [.. annotations.Where(a => a.Mark is not null || IsText(a))];

    /// <summary>How many scans may be given in one piece.</summary>
    /// <param name="start">Index in the file of the first; what is said of it is given before the piece.</param>
    /// <param name="most">Scans at most, 1 or more.</param>
    public int ScansUntilNext(long start, int most)
    {
        int next = _given;
        while (next < _remarks.Length && _remarks[next].StartScan <= start) next++;
        return next < _remarks.Length ? (int)Math.Min(most, _remarks[next].StartScan - start) : most;
    }

    /// <summary>Gives what is said of a scan, or of one before it that is not in the file.</summary>
    /// <param name="receiver">Gets it.</param>
    /// <param name="scan">Index in the file of the receiver's next scan.</param>
    /// <param name="position">Position of that scan in the receiver's stream.</param>
    public void Give(IScanReceiver receiver, long scan, long position)
    {
        for (; _given < _remarks.Length && _remarks[_given].StartScan <= scan; _given++)
        {
            RecordingAnnotation remark = _remarks[_given];
            if (remark.Mark is { } word) receiver.Mark(position, word);
            else receiver.Say(remark.Comment!);
        }
    }

    private static bool IsText(RecordingAnnotation annotation) =>
        string.Equals(annotation.Label, CaptureNotes.DeviceLabel, StringComparison.Ordinal) && !string.IsNullOrEmpty(annotation.Comment);
}
