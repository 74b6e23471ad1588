using System.Text.Json;
using Acquire.Capture;

namespace Acquire.Recordings.Sigmf;

/// <summary>Reads a metadata file token by token, so that memory grows with what is kept, not with what is skipped.</summary>
internal ref struct SigmfMetadataParser
{
    private const int MaxDepth = 64;

    private readonly string _file;
    private readonly SigmfMetadata _metadata = new();
    private SigmfFields _json;

    private SigmfMetadataParser(ReadOnlySpan<byte> utf8, string file)
    {
        _file = file;
        _json = new SigmfFields(utf8, file, MaxDepth);
    }

    /// <summary>Reads metadata.</summary>
    /// <param name="utf8">The whole file.</param>
    /// <param name="file">Its name, for messages.</param>
    /// <exception cref="RecordingException">It is not JSON, or a field that is used here is missing or wrong.</exception>
    public static SigmfMetadata Parse(ReadOnlySpan<byte> utf8, string file)
    {
        if (utf8.StartsWith("\uFEFF"u8)) utf8 = utf8[3..];
        var parser = new SigmfMetadataParser(utf8, file);
        try
        {
            parser.Top();
        }
        catch (JsonException e)
        {
            // The bracket that was one too many is not counted any more.
            string reason = parser._json.Depth >= MaxDepth - 1
                ? $"is nested deeper than {MaxDepth} levels."
                : $"is not JSON: {VisibleText.Of(ReasonOf(e.Message))}";
            throw new RecordingException(RecordingFailure.NotJson,
                $"{VisibleText.Whole(file)} {reason} Line {e.LineNumber + 1}, byte {e.BytePositionInLine + 1} of it; correct the file there.", e);
        }

        return parser._metadata;
    }

    // Behind the reason the platform says where, which is said better here, and what a program could set otherwise, which helps nobody who has a file.
    private static string ReasonOf(string message)
    {
        foreach (string behind in (ReadOnlySpan<string>)[" LineNumber:", " Change the reader options", " Expected the input to start"])
            if (message.IndexOf(behind, StringComparison.Ordinal) is > 0 and int at) message = message[..at];
        return message;
    }

    private void Top()
    {
        bool global = false, captures = false;
        _json.BeginFile();
        while (_json.NextField())
        {
            switch (_json.Name)
            {
                case "global":
                    global = true;
                    Global();
                    break;
                case "captures":
                    captures = true;
                    while (_json.NextObject("captures", _metadata.Captures.Count)) Capture();
                    break;
                case "annotations":
                    int index = 0;
                    while (_json.NextObject("annotations", index)) Annotation(index++);
                    break;
                default:
                    _json.Skip();
                    break;
            }
        }

        _json.EndFile();
        if (!global) throw Missing("the object \"global\"");
        if (_metadata.Datatype is null) throw Missing("the field core:datatype in \"global\"");
        if (!captures) _metadata.Notes.Add("The metadata has no \"captures\"; one segment from the first scan on is assumed.");
        if (_metadata.Version is null) _metadata.Notes.Add("The metadata has no core:version; version 1 is assumed.");
        else if (!_metadata.Version.StartsWith("1.", StringComparison.Ordinal))
            _metadata.Notes.Add($"The metadata is of version {VisibleText.Of(_metadata.Version)}; version 1 is what is read here.");
    }

    private void Global()
    {
        _json.BeginObject("global");
        while (_json.NextField())
        {
            switch (_json.Name)
            {
                case "core:datatype": _metadata.Datatype = _json.Text(); break;
                case "core:version": _metadata.Version = _json.Text(); break;
                case "core:sample_rate": _metadata.SampleRate = Rate(); break;
                case "core:num_channels": _metadata.Channels = ChannelCount(); break;
                case "core:offset": _metadata.Offset = _json.Index(); break;
                case "core:trailing_bytes": _metadata.TrailingBytes = _json.Index(); break;
                case "core:dataset": _metadata.Dataset = _json.Text(); break;
                case "core:metadata_only": _metadata.MetadataOnly = _json.Flag(); break;
                case "core:sha512": _metadata.Sha512 = _json.Text(); break;
                case "core:description": _metadata.Description = _json.Text(); break;
                case "core:author": _metadata.Author = _json.Text(); break;
                case "core:hw": _metadata.Hardware = _json.Text(); break;
                case "core:recorder": _metadata.Recorder = _json.Text(); break;
                case "core:extensions": Extensions(); break;
                case SigmfExtension.Bits: _metadata.Bits = Bits(); break;
                case SigmfExtension.Growing: _metadata.Growing = _json.Flag(); break;
                case SigmfExtension.LostAtEnd: _metadata.LostAtEnd = _json.Index(); break;
                case SigmfExtension.LostAtEndCause: _metadata.LostAtEndCause = SigmfExtension.CauseOf(_json.Text()); break;
                default: _json.Skip(); break;
            }
        }
    }

    private double Rate()
    {
        double rate = _json.Number();
        return rate > 0 && double.IsFinite(rate)
            ? rate
            : throw new RecordingException(RecordingFailure.RateWrong,
                $"{VisibleText.Whole(_file)}: core:sample_rate is {rate}; it must be positive and finite. Correct it, or leave it out where it is not known.");
    }

    private long ChannelCount()
    {
        long channels = _json.Index();
        return channels is >= 1 and <= SigmfRecording.MostChannels
            ? channels
            : throw new RecordingException(RecordingFailure.ChannelsWrong,
                $"{VisibleText.Whole(_file)}: core:num_channels is {channels}; it must be 1 to {SigmfRecording.MostChannels}. Correct the metadata.");
    }

    private int Bits()
    {
        long bits = _json.Index();
        return bits is >= 1 and <= 16
            ? (int)bits
            : throw _json.Wrong(bits.ToString(), "a code has 1 to 16 bits");
    }

    private void Extensions()
    {
        int index = 0;
        while (_json.NextObject("core:extensions", index++))
        {
            string? name = null, version = null;
            bool optional = true;
            _json.BeginObject("core:extensions");
            while (_json.NextField())
            {
                switch (_json.Name)
                {
                    case "name": name = _json.Text(); break;
                    case "version": version = _json.Text(); break;
                    case "optional": optional = _json.Flag(); break;
                    default: _json.Skip(); break;
                }
            }

            if (!optional && !SigmfExtension.IsKnown(name, version))
            {
                throw new RecordingException(RecordingFailure.ExtensionUnknown,
                    $"{VisibleText.Whole(_file)} needs the extension \"{VisibleText.Of($"{name} {version}".Trim())}\", which is not known here, to be understood; export the recording without it.");
            }
        }
    }

    private void Capture()
    {
        long? start = null, globalIndex = null;
        long headerBytes = 0;
        DateTimeOffset? started = null;
        bool isBreak = false;
        GapCause? cause = null;
        _json.BeginObject("captures");
        while (_json.NextField())
        {
            switch (_json.Name)
            {
                case "core:sample_start": start = _json.Index(); break;
                case "core:global_index": globalIndex = _json.Index(); break;
                case "core:header_bytes": headerBytes = _json.Index(); break;
                case "core:datetime": started = Time(); break;
                case SigmfExtension.Break: isBreak = _json.Flag(); break;
                case SigmfExtension.Cause: cause = SigmfExtension.CauseOf(_json.Text()); break;
                default: _json.Skip(); break;
            }
        }

        int count = _metadata.Captures.Count;
        if (start is not { } first) throw Missing($"the field core:sample_start in captures[{count}]");
        if (count > 0 && first < _metadata.Captures[count - 1].SampleStart)
        {
            throw new RecordingException(RecordingFailure.CapturesUnsorted,
                $"{VisibleText.Whole(_file)}: captures[{count}] starts at {first}, before captures[{count - 1}]; segments must be sorted by core:sample_start. Sort them.");
        }

        _metadata.Captures.Add(new SigmfCapture
        {
            SampleStart = first,
            GlobalIndex = globalIndex,
            HeaderBytes = headerBytes,
            Started = started,
            IsBreak = isBreak,
            Cause = cause,
        });
    }

    private DateTimeOffset Time()
    {
        string text = _json.Text();
        return SigmfTime.TryParse(text, out DateTimeOffset time)
            ? time
            : throw _json.Wrong($"\"{text}\"", "a time is written in UTC as 2030-01-31T12:00:00.5Z, with Z and no other offset");
    }

    private void Annotation(int index)
    {
        long? start = null, scans = null, mark = null;
        string? label = null, comment = null;
        int edges = 0;
        _json.BeginObject("annotations");
        while (_json.NextField())
        {
            switch (_json.Name)
            {
                case "core:sample_start": start = _json.Index(); break;
                case "core:sample_count": scans = _json.Index(); break;
                case "core:label": label = _json.Text(); break;
                case "core:comment": comment = _json.Text(); break;
                case SigmfExtension.Mark: mark = _json.Index(); break;
                case "core:freq_lower_edge" or "core:freq_upper_edge":
                    _ = _json.Number();
                    edges++;
                    break;
                default: _json.Skip(); break;
            }
        }

        if (start is not { } first) throw Missing($"the field core:sample_start in annotations[{index}]");
        if (edges == 1) _metadata.Notes.Add($"annotations[{index}] has one frequency edge alone; both are needed, so it is left out.");
        _metadata.Annotations.Add(new RecordingAnnotation(first, scans, label, comment, mark is >= 0 and <= ushort.MaxValue ? (ushort)mark : null));
    }

    private RecordingException Missing(string what) =>
        new(RecordingFailure.FieldMissing, $"{VisibleText.Whole(_file)} lacks {what}; add it.");
}
