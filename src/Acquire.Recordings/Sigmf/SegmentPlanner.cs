using Acquire.Capture;

namespace Acquire.Recordings.Sigmf;

/// <summary>Turns capture segments into stretches of scans, with what is missing between them.</summary>
internal sealed class SegmentPlanner
{
    private readonly string _file;
    private readonly SigmfMetadata _metadata;
    private readonly int _scanBytes;
    private readonly long _endOfScans;
    private readonly List<Segment> _segments = [];
    private long _streamEnd;
    private long _lostInAll;
    private bool _breakPending;
    private GapCause? _causePending;

    private SegmentPlanner(string file, SigmfMetadata metadata, int scanBytes, long fileBytes)
    {
        _file = file;
        _metadata = metadata;
        _scanBytes = scanBytes;
        _endOfScans = fileBytes - metadata.TrailingBytes;
    }

    /// <summary>Plans the segments of a recording.</summary>
    /// <param name="file">Name of the metadata file, for messages.</param>
    /// <param name="metadata">What it says; notes are added to it.</param>
    /// <param name="scanBytes">Bytes of one scan.</param>
    /// <param name="fileBytes">Bytes of the dataset.</param>
    /// <param name="firstIndex">Index of the first scan in the stream.</param>
    /// <returns>Segments with at least one scan each.</returns>
    public static List<Segment> Plan(string file, SigmfMetadata metadata, int scanBytes, long fileBytes, out long firstIndex)
    {
        var planner = new SegmentPlanner(file, metadata, scanBytes, fileBytes);
        planner.Run();
        firstIndex = planner.FirstIndex;
        return planner._segments;
    }

    private long FirstIndex { get; set; }

    private void Run()
    {
        if (_endOfScans < 0)
        {
            throw new RecordingException(RecordingFailure.BeyondFile,
                $"{VisibleText.Whole(_file)}: core:trailing_bytes is {_metadata.TrailingBytes}, more than the dataset has; correct it or find the whole dataset.");
        }

        List<SigmfCapture> captures = _metadata.Captures;
        if (captures.Count == 0) captures = [new SigmfCapture { SampleStart = _metadata.Offset }];
        long offset = _metadata.Offset;
        if (captures[0].SampleStart < offset)
        {
            throw new RecordingException(RecordingFailure.FieldWrong,
                $"{VisibleText.Whole(_file)}: captures[0] starts at {captures[0].SampleStart}, before the first scan (core:offset {offset}); correct one of the two.");
        }

        if (captures[0].SampleStart > offset)
        {
            _metadata.Notes.Add($"The first capture starts at {captures[0].SampleStart}; the scans before it are read as a segment of their own.");
            captures = [new SigmfCapture { SampleStart = offset }, .. captures];
        }

        long position = 0, sampleEnd = offset;
        for (int i = 0; i < captures.Count; i++)
        {
            SigmfCapture capture = captures[i];
            if (position >= _endOfScans && i > 0)
            {
                // Of a recording that was not ended, metadata may be a moment ahead of its dataset.
                if (_metadata.Growing) break;
                // A segment reaches to the next one's start: one that starts where the dataset ends is empty, and nothing is missing.
                if (captures[^1].SampleStart <= sampleEnd) break;
                _metadata.Truncated = true;
                _metadata.Notes.Add(captures.Count - i == 1
                    ? $"The last capture segment, at {capture.SampleStart}, starts at or after the end of the dataset and is left out."
                    : $"{captures.Count - i} capture segments start at or after the end of the dataset and are left out.");
                break;
            }

            if (capture.HeaderBytes > _endOfScans - position)
            {
                throw new RecordingException(RecordingFailure.BeyondFile,
                    $"{VisibleText.Whole(_file)}: core:header_bytes of the segment at {capture.SampleStart} is {capture.HeaderBytes}, beyond the end of the dataset; correct it or find the whole dataset.");
            }

            position += capture.HeaderBytes;
            long there = (_endOfScans - position) / _scanBytes;
            bool last = i == captures.Count - 1;
            long wanted = last ? there : captures[i + 1].SampleStart - capture.SampleStart;
            long scans = Math.Min(wanted, there);
            Add(capture, position, scans);
            sampleEnd = capture.SampleStart + scans;
            if (scans < wanted || last)
            {
                NoteRemainder(_endOfScans - position - (scans * _scanBytes));
                position = scans < wanted ? _endOfScans : position + (scans * _scanBytes);
            }
            else
            {
                position += scans * _scanBytes;
            }
        }
    }

    private void Add(SigmfCapture capture, long byteOffset, long scans)
    {
        long index = capture.GlobalIndex ?? capture.SampleStart;
        _breakPending |= capture.IsBreak;
        _causePending = capture.Cause ?? _causePending;
        if (scans == 0) return;
        if (_segments.Count == 0)
        {
            FirstIndex = index;
            _segments.Add(new Segment(byteOffset, scans, 0, IsBreak: false, GapCause.File));
        }
        else
        {
            // Both are 0 or more, so the difference cannot overflow.
            long lost = index - _streamEnd;
            bool isBreak = _breakPending || lost < 0;
            if (!isBreak && lost > ScanGap.MostLostScans - _lostInAll)
            {
                _metadata.Notes.Add($"The segment at {capture.SampleStart} says that {lost} scans are missing; that is not plausible and is read as a break.");
                isBreak = true;
            }

            Append(byteOffset, scans, isBreak ? 0 : lost, isBreak);
        }

        _streamEnd = index > long.MaxValue - scans ? long.MaxValue : index + scans;
        _breakPending = false;
        _causePending = null;
    }

    private void Append(long byteOffset, long scans, long lost, bool isBreak)
    {
        Segment before = _segments[^1];
        if (!isBreak && lost == 0 && before.ByteOffset + (before.Scans * _scanBytes) == byteOffset)
        {
            _segments[^1] = before with { Scans = before.Scans + scans };
            return;
        }

        _lostInAll += lost;
        GapCause cause = _causePending ?? (isBreak ? GapCause.Unknown : GapCause.File);
        _segments.Add(new Segment(byteOffset, scans, lost, isBreak, cause));
    }

    private void NoteRemainder(long bytes)
    {
        if (bytes <= 0 || _metadata.Growing) return;
        _metadata.Truncated = true;
        _metadata.Notes.Add($"The dataset ends with {bytes} bytes that are not a whole scan; they are left out.");
    }
}
