using System.Buffers.Binary;
using System.Runtime.InteropServices;
using System.Security.Cryptography;
using Acquire.Capture;
using Acquire.Recordings.Sigmf;

namespace Acquire.Recordings;

/// <summary>Writes a recording, NAME.sigmf-data and NAME.sigmf-meta.</summary>
/// <remarks>
/// The pair appears under its name when it is complete, or grows under it from the start: <see cref="RecordingWriterOptions.GrowInPlace"/>.
/// Words are unsigned, 16 bits, low byte first (ru16_le). Writing scans allocates nothing once the buffer is there; each gap or break adds one entry
/// that is kept until <see cref="Complete"/>. Not thread-safe.
/// </remarks>
public sealed class RecordingWriter : IDisposable
{
    private const int BufferBytes = 128 << 10;
    private const int SwapCodes = 8 << 10;

    /// <summary>Most segments, so that metadata with room for annotations stays below what a reader takes for metadata.</summary>
    internal const int MostSegments = 500_000;

    private RecordingWriterOptions _options;
    private readonly string _name;
    private readonly IRecordingFiles _files;
    private readonly IncrementalHash? _hash;
    private readonly List<SigmfCapture> _captures = [];
    private readonly List<RecordingAnnotation> _annotations = [];
    private long _streamPosition;
    private long _lostInAll;
    private long _pendingLost;
    private bool _pendingBreak;
    private GapCause _pendingCause;
    private string? _sha512;
    private bool _completing;
    private bool _ended;

    /// <summary>Begins a recording.</summary>
    /// <param name="path">NAME, NAME.sigmf-meta or NAME.sigmf-data.</param>
    /// <param name="options">What the recording says about itself, or null: two channels, nothing more.</param>
    /// <exception cref="ArgumentException">An option is outside its documented range.</exception>
    /// <exception cref="IOException">The file cannot be written there, or a recording of that name is being written at this moment; the message is one line with the cure.</exception>
    public RecordingWriter(string path, RecordingWriterOptions? options = null)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        _options = options ?? new RecordingWriterOptions();
        _options.Validate();
        _name = SigmfRecording.NameOf(path);
        _streamPosition = _options.FirstIndex;
        OtherCapture.Refuse(_name);
        string data = _name + SigmfRecording.DataExtension, metadata = _name + SigmfRecording.MetadataExtension;
        try
        {
            _files = _options.GrowInPlace
                ? new GrowingFiles(data, metadata, BufferBytes, _options.OutlivesPowerCut, WriteMetadata)
                : new WholeFiles(data, metadata, BufferBytes, WriteMetadata);
        }
        catch (Exception e) when (WriteCure.IsRefusal(e) && e is not (AtomicFile.Refusal or RecordingException))
        {
            throw NotWritable(e);
        }

        _hash = _options.ComputeHash ? IncrementalHash.CreateHash(HashAlgorithmName.SHA512) : null;
    }

    /// <summary>Segments so far: one, and one more for each gap or break between scans.</summary>
    public int SegmentCount => _captures.Count;

    /// <summary>Whether the dataset that grows in place is still found under its name; writing into one that was removed, renamed or replaced fails nowhere else.</summary>
    /// <value>Elsewhere than on Linux only a name that is gone is noticed. Always true where the recording gets its name at the end.</value>
    public bool IsUnderItsName => _files.IsUnderItsName;

    /// <summary>Scans written so far.</summary>
    public long ScanCount { get; private set; }

    /// <summary>Writes scans.</summary>
    /// <param name="scans">Interleaved codes, whole scans only.</param>
    /// <exception cref="ArgumentException">The span is not a whole number of scans.</exception>
    /// <exception cref="RecordingException">The disk is full or failed, another program cut the dataset short, or there are more than 499,999 gaps and breaks; nothing of the span was written in that case.</exception>
    /// <exception cref="InvalidOperationException">The recording has ended.</exception>
    public void Write(ReadOnlySpan<ushort> scans)
    {
        ThrowIfEnded();
        if (scans.Length % _options.ChannelCount != 0)
            throw new ArgumentException($"{scans.Length} codes are no whole number of scans of {_options.ChannelCount} channels; write whole scans.");
        if (scans.IsEmpty) return;
        BeginCapture();
        try
        {
            if (BitConverter.IsLittleEndian) WriteBytes(MemoryMarshal.AsBytes(scans));
            else WriteSwapped(scans);
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            throw NotWritable(e);
        }

        long count = scans.Length / _options.ChannelCount;
        ScanCount += count;
        _streamPosition += count;
    }

    /// <summary>States that a known number of scans is missing here.</summary>
    /// <param name="lostScans">Scans missing, 1 or more, over the whole recording at most <see cref="ScanGap.MostLostScans"/>; adds to a gap stated just before.</param>
    /// <param name="cause">Why; of several in one place the first is kept.</param>
    /// <exception cref="ArgumentOutOfRangeException">Not at least 1, or too many over the whole recording; nothing has changed.</exception>
    /// <exception cref="InvalidOperationException">The recording has ended.</exception>
    public void WriteGap(long lostScans, GapCause cause = GapCause.Unknown)
    {
        ThrowIfEnded();
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(lostScans);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(lostScans, ScanGap.MostLostScans - _lostInAll);
        if (_pendingLost == 0 && !_pendingBreak) _pendingCause = cause;
        _pendingLost += lostScans;
        _lostInAll += lostScans;
        _files.Remarked();
    }

    /// <summary>States that an unknown number of scans is missing here.</summary>
    /// <param name="cause">Why; of several in one place the first is kept.</param>
    /// <exception cref="InvalidOperationException">The recording has ended.</exception>
    /// <remarks>A break swallows gaps stated in the same place. Before the first and after the last scan it means nothing and is not written.</remarks>
    public void WriteBreak(GapCause cause = GapCause.Reset)
    {
        ThrowIfEnded();
        if (_pendingLost == 0 && !_pendingBreak) _pendingCause = cause;
        _pendingBreak = true;
    }

    /// <summary>Adds a remark about a stretch of the recording.</summary>
    /// <param name="annotation">The remark; its scans need not be written yet.</param>
    /// <exception cref="ArgumentException">Its first scan or its count is negative.</exception>
    /// <exception cref="InvalidOperationException">The recording has ended.</exception>
    public void Annotate(RecordingAnnotation annotation)
    {
        ThrowIfEnded();
        ArgumentNullException.ThrowIfNull(annotation);
        if (annotation.StartScan < 0 || annotation.ScanCount < 0)
            throw new ArgumentException($"The annotation starts at {annotation.StartScan} and has {annotation.ScanCount} scans; neither may be negative.");
        _annotations.Add(annotation);
        _files.Remarked();
    }

    /// <summary>States what was not known when the recording began; it stands in the metadata from the next flush on.</summary>
    /// <param name="scanRateHz">Scans per second, or null: still not known.</param>
    /// <param name="hardware">What the recording is made with, or null: still not known.</param>
    /// <exception cref="ArgumentException">The rate is outside the range of <see cref="RecordingWriterOptions.ScanRateHz"/>; nothing has changed.</exception>
    /// <exception cref="InvalidOperationException">The recording has ended.</exception>
    public void State(double? scanRateHz, string? hardware)
    {
        ThrowIfEnded();
        RecordingWriterOptions options = _options with { ScanRateHz = scanRateHz ?? _options.ScanRateHz, Hardware = hardware ?? _options.Hardware };
        options.Validate();
        _options = options;
        _files.Remarked();
    }

    /// <summary>Hands what was written to the system, so that a killed process does not lose it; without it at most 128 KiB wait.</summary>
    /// <param name="toDisk">Whether to wait until it is on the disk, so that a power cut does not lose it either.</param>
    /// <exception cref="RecordingException">The disk is full or failed, or another program cut the dataset short.</exception>
    /// <exception cref="InvalidOperationException">The recording has ended.</exception>
    /// <remarks>Of use where the recording grows in place; call it about once a second.</remarks>
    public void Flush(bool toDisk = false)
    {
        ThrowIfEnded();
        try
        {
            _files.Flush(toDisk);
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            throw NotWritable(e);
        }
    }

    /// <summary>Ends the recording: both files reach the disk and have their names.</summary>
    /// <exception cref="RecordingException">The disk is full or failed, another program cut the dataset short, or a recording of that name was begun meanwhile and is being written; the recording
    /// has not ended, and the call may be repeated when the cause is gone.</exception>
    /// <exception cref="InvalidOperationException">No scan was written, or the recording has ended already.</exception>
    public void Complete()
    {
        ThrowIfEnded();
        if (ScanCount == 0)
            throw new InvalidOperationException($"{VisibleText.Whole(_name)} has no scans; a recording has at least one. Write scans or dispose the writer.");
        if (!_options.GrowInPlace) OtherCapture.Refuse(_name);
        try
        {
            // Not reset: the call may be refused, and another one must find the hash of all scans.
            _completing = true;
            _sha512 = _hash is null ? null : Convert.ToHexStringLower(_hash.GetCurrentHash());
            _files.Complete();
            _ended = true;
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            throw NotWritable(e);
        }
        finally
        {
            // Until it has succeeded no metadata may say that the recording is ended.
            _completing = _ended;
            if (!_ended) _sha512 = null;
        }
    }

    /// <summary>Without <see cref="Complete"/>, deletes what was written; a recording that grows in place is kept as far as it came.</summary>
    public void Dispose()
    {
        _ended = true;
        _files.Dispose();
        _hash?.Dispose();
    }

    private void ThrowIfEnded()
    {
        if (_ended) throw new InvalidOperationException($"{VisibleText.Whole(_name)} is complete or disposed; begin a new recording.");
    }

    private void WriteMetadata(Stream stream) =>
        SigmfMetadataWriter.Write(stream, _options, _captures, _annotations, _pendingLost, _pendingCause, _sha512, _options.GrowInPlace && !_completing);

    private void BeginCapture()
    {
        if (_captures.Count > 0 && _pendingLost == 0 && !_pendingBreak) return;
        bool first = _captures.Count == 0;
        if (_captures.Count == MostSegments)
        {
            throw new RecordingException(RecordingFailure.NotWritable,
                $"{VisibleText.Whole(_name)} has {MostSegments} gaps and breaks, as many as a recording may have; complete it and begin another.");
        }

        _streamPosition += _pendingBreak && !first ? 0 : _pendingLost;
        _captures.Add(new SigmfCapture
        {
            SampleStart = ScanCount,
            GlobalIndex = _streamPosition,
            Started = first ? _options.Started : null,
            IsBreak = _pendingBreak && !first,
            Cause = first ? null : _pendingCause,
        });
        _pendingLost = 0;
        _pendingBreak = false;
        _files.SegmentBegun();
    }

    private void WriteBytes(ReadOnlySpan<byte> bytes)
    {
        _files.Write(bytes);
        _hash?.AppendData(bytes);
    }

    private void WriteSwapped(ReadOnlySpan<ushort> scans)
    {
        Span<ushort> swapped = stackalloc ushort[SwapCodes];
        while (!scans.IsEmpty)
        {
            int count = Math.Min(scans.Length, SwapCodes);
            BinaryPrimitives.ReverseEndianness(scans[..count], swapped[..count]);
            WriteBytes(MemoryMarshal.AsBytes(swapped[..count]));
            scans = scans[count..];
        }
    }

    private RecordingException NotWritable(Exception e) =>
        e as RecordingException ?? new(RecordingFailure.NotWritable,
            $"{VisibleText.Whole(_name)} could not be written: {SystemReason.Of(e)}; {WriteCure.Of(e, "name another folder")}.", e);
}
