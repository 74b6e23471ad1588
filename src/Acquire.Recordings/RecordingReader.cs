using Acquire.Capture;
using Acquire.Recordings.Sigmf;
using Acquire.Recordings.Wav;
using Acquire.Recordings.Words;
using Acquire.Scales;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Recordings;

/// <summary>Reads a recording scan by scan, with the places where scans are missing.</summary>
/// <remarks>
/// Pull only: nothing is read ahead on another thread, and memory does not grow with the recording's length. Reading allocates nothing
/// once open. Not thread-safe: one thread at a time. The dataset stays open until <see cref="Dispose"/>.
/// </remarks>
public sealed class RecordingReader : IDisposable
{
    private readonly SafeFileHandle _handle;
    private readonly RecordingLayout _layout;
    private readonly IWordConverter _converter;
    private readonly IReadOnlyList<CodeVolts> _ranges;
    private readonly ScanFileReader _scans;
    private int _segment;
    private long _doneInSegment;
    private bool _begun;
    private bool _endGapReported;

    private RecordingReader(SafeFileHandle handle, RecordingLayout layout, RecordingOptions options, CancellationToken cancel)
    {
        _handle = handle;
        _layout = layout;
        byte[] buffer = ScanFileReader.BufferFor(layout);
        _converter = WordMapping.Build(handle, layout, options, buffer, out int bits, out _ranges, cancel);
        Bits = bits;
        BitsAreStated = options.Bits is not null || layout.Bits is not null;
        ChannelCount = options.Channels.Count == 0 ? layout.Channels : options.Channels.Count;
        _scans = new ScanFileReader(handle, layout, _converter, ChannelCount, buffer);
        foreach (Segment segment in layout.Segments) ScanCount += segment.Scans;
    }

    /// <summary>The recording's name, without a file extension.</summary>
    public string Name => _layout.Name;

    /// <summary>Path of the file that holds the scans.</summary>
    public string DataPath => _layout.DataPath;

    /// <summary>Path of the file that says what the scans are, or null where the file of the scans says it itself.</summary>
    public string? MetadataPath => _layout.MetadataPath;

    /// <summary>The words in the file, as the recording format names them: ru16_le, ri8, rf32_be.</summary>
    public string WordName => _layout.Word.Name;

    /// <summary>Scans in the file.</summary>
    public long ScanCount { get; }

    /// <summary>Scans per second in hertz, or null where the recording says nothing.</summary>
    public double? ScanRateHz => _layout.ScanRateHz;

    /// <summary>Words per scan that <see cref="Read"/> gives: the channels selected, or all.</summary>
    public int ChannelCount { get; }

    /// <summary>Channels in the file.</summary>
    public int FileChannelCount => _layout.Channels;

    /// <summary>Bits of one code, 1 to 16.</summary>
    public int Bits { get; }

    /// <summary>Whether <see cref="Bits"/> was asked for or is said by the recording; otherwise it is what its words have.</summary>
    public bool BitsAreStated { get; }

    /// <summary>Index of the next scan that <see cref="Read"/> gives, counted in the file from 0.</summary>
    public long Position { get; private set; }

    /// <summary>Index of the file's first scan in the stream that was recorded; 0 unless the recording says otherwise.</summary>
    public long FirstIndex => _layout.FirstIndex;

    /// <summary>Words read since the start that were no number or infinite.</summary>
    /// <remarks>With fewer than 16 bits they come out as code 65535, which the engine counts and excludes; with 16 bits, where every code is
    /// valid, as code 0. Ranges found in a first pass leave 16 bits only where the file holds no such word.</remarks>
    public long NotANumber => _converter.NotANumber;

    /// <summary>Words read since the start that lay outside the range given and were set to its nearer end.</summary>
    public long Clipped => _converter.Clipped;

    /// <summary>What the recording is of, or null.</summary>
    public string? Description => _layout.Description;

    /// <summary>Who made it, or null.</summary>
    public string? Author => _layout.Author;

    /// <summary>What it was made with, or null.</summary>
    public string? Hardware => _layout.Hardware;

    /// <summary>Time of the first scan, or null.</summary>
    public DateTimeOffset? Started => _layout.Started;

    /// <summary>Remarks about stretches of the recording, sorted by their first scan.</summary>
    public IReadOnlyList<RecordingAnnotation> Annotations => _layout.Annotations;

    /// <summary>What was odd about the recording but could be read, one line each.</summary>
    public IReadOnlyList<string> Notes => _layout.Notes;

    /// <summary>Whether the data end within a scan, before segments that the metadata names, or before the length that a WAV file states: something cut them short. <see cref="Notes"/> says more.</summary>
    public bool IsTruncated => _layout.Truncated;

    /// <summary>Whether the recording was not ended: it is being written still, or its writer was stopped in the middle. It may then have no scans yet.</summary>
    public bool IsUnfinished => _layout.Growing;

    /// <summary>Opens a recording.</summary>
    /// <param name="path">NAME, NAME.sigmf-meta or NAME.sigmf-data; or a WAV file, NAME.wav.</param>
    /// <param name="options">How it is read, or null: every channel, all bits.</param>
    /// <param name="cancel">Ends a first pass over the file, which words wider than 16 bits and a comparison with the hash need.</param>
    /// <exception cref="ArgumentException">An option is outside its documented range.</exception>
    /// <exception cref="OperationCanceledException">It was cancelled.</exception>
    /// <exception cref="RecordingException">A file is missing or cannot be read, or the recording is damaged or of a kind that is not
    /// read here; <see cref="RecordingException.Failure"/> says which.</exception>
    public static RecordingReader Open(string path, RecordingOptions? options = null, CancellationToken cancel = default)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        options ??= new RecordingOptions();
        options.Validate();
        RecordingLayout layout = WavRecording.IsNamed(path)
            ? WavRecording.Open(path, out SafeFileHandle handle)
            : SigmfRecording.Open(path, out handle);
        try
        {
            if (options.VerifyHash) DatasetHash.Verify(handle, layout, cancel);
            return new RecordingReader(handle, layout, options, cancel);
        }
        catch
        {
            handle.Dispose();
            throw;
        }
    }

    /// <summary>Volts at code 0 and at the full code of one channel, or null where the file's words are codes and say nothing about volts.</summary>
    /// <param name="channel">0 is the first channel that <see cref="Read"/> gives.</param>
    /// <exception cref="ArgumentOutOfRangeException">There is no such channel.</exception>
    /// <remarks>In the unit of the file's words: volts, where those are volts.</remarks>
    public CodeVolts? VoltsOf(int channel)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(channel);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(channel, ChannelCount);
        return _ranges.Count == 0 ? null : _ranges[channel];
    }

    /// <summary>Volts from one code of a channel to the next, or null where the file's words are codes.</summary>
    /// <param name="channel">0 is the first channel that <see cref="Read"/> gives.</param>
    /// <exception cref="ArgumentOutOfRangeException">There is no such channel.</exception>
    public double? StepVoltsOf(int channel) =>
        VoltsOf(channel) is { } range ? (double)(range.AtFullCode - range.AtCodeZero) / ((1 << Bits) - 1) : null;

    /// <summary>Copies scans up to the next place where some are missing, or says what that place is.</summary>
    /// <param name="scans">Gets interleaved codes, <see cref="ChannelCount"/> a scan; filled with as many whole scans as it holds
    /// unless a gap, a break or the end comes first.</param>
    /// <returns>What was found. After the end every call says so again, until <see cref="Rewind"/>.</returns>
    /// <exception cref="ArgumentException">The span has no room for one scan.</exception>
    /// <exception cref="RecordingException">The file became shorter, or the device failed.</exception>
    /// <exception cref="ObjectDisposedException">The reader was disposed.</exception>
    public RecordingRead Read(Span<ushort> scans)
    {
        ObjectDisposedException.ThrowIf(_handle.IsClosed, this);
        int room = scans.Length / ChannelCount;
        if (room == 0)
            throw new ArgumentException($"The span holds {scans.Length} codes but a scan has {ChannelCount}; give room for one scan at least.");

        IReadOnlyList<Segment> segments = _layout.Segments;
        if (segments.Count == 0) return End();
        if (_begun && _doneInSegment == segments[_segment].Scans && _segment + 1 < segments.Count)
        {
            _segment++;
            _begun = false;
        }

        Segment segment = segments[_segment];
        if (!_begun)
        {
            _begun = true;
            _doneInSegment = 0;
            _scans.Begin(segment);
            if (segment.IsBreak) return new RecordingRead(RecordingReadKind.Break, Cause: segment.Cause);
            if (segment.LostScans > 0) return new RecordingRead(RecordingReadKind.Gap, 0, segment.LostScans, segment.Cause);
        }

        long left = segment.Scans - _doneInSegment;
        if (left == 0) return End();
        int count = (int)Math.Min(room, left);
        _scans.Read(scans[..(count * ChannelCount)], count, left);
        _doneInSegment += count;
        Position += count;
        return new RecordingRead(RecordingReadKind.Scans, count);
    }

    /// <summary>Goes back to the first scan; counts of words that were no number or clipped start at 0 again.</summary>
    public void Rewind()
    {
        _segment = 0;
        _doneInSegment = 0;
        _begun = false;
        _endGapReported = false;
        Position = 0;
        _converter.ResetCounts();
    }

    /// <summary>Closes the dataset.</summary>
    public void Dispose() => _handle.Dispose();

    private RecordingRead End()
    {
        if (_layout.LostAtEnd == 0 || _endGapReported) return new RecordingRead(RecordingReadKind.End);
        _endGapReported = true;
        return new RecordingRead(RecordingReadKind.Gap, 0, _layout.LostAtEnd, _layout.LostAtEndCause);
    }
}
