using Acquire.Capture;
using Acquire.Recordings;

namespace Acquire.Sources.Recording;

/// <summary>Records a stream so that a process killed at any moment leaves recordings that open, replay and lack little.</summary>
/// <remarks>
/// The rule: of what was taken, a killed process's recording lacks at most the scans of one <see cref="CaptureOptions.FlushInterval"/> and those of one
/// call of <see cref="Take"/>, as long as the disk answers within half of that interval. No scan in it is wrong, and none stands behind a gap that is not told of.
/// The first scans are handed to the system at once. Gaps and breaks stand in the recording's segments and, for people, in its annotations,
/// together with the device's words and marks. One thread, or one at a time; only the ending of a recording that is full goes on in the background.
/// What a source says of its scans only after the first ones holds for those too. A source that says it sends other channels, bits, rate or volts begins the next recording, NAME-0002; so do 100,000 gaps.
/// </remarks>
public sealed partial class CaptureRecorder : IScanReceiver, IDisposable
{
    // The metadata is written anew with each gap that follows on a flush: it must not grow without end.
    private const int MostSegments = 100_000;
    private const long MostNoteCharacters = 4 << 20;
    private const int BytesPerCode = 2;

    private readonly CaptureOptions _options;
    private readonly TimeProvider _clock;
    private readonly CaptureNames _names;
    private readonly List<CapturedRecording> _ended = [];
    private readonly CaptureNotes _notes = new();
    private StreamDescription _description = new();
    private RecordingWriter? _writer;
    private string? _name;
    private Task _ending = Task.CompletedTask;
    private long _recordingBegan;
    private long _flushed;
    private long _unflushedScans;
    private long _firstPosition;
    private long _segmentPosition;
    private bool _described;
    private bool _otherScans;
    private bool _vanished;
    private bool _over;

    /// <summary>Begins a capture. Files appear with the first scan.</summary>
    /// <param name="name">NAME; recordings are NAME, or NAME-0001 and so on where it rotates. A recording of that name is replaced; numbers go on behind those there.</param>
    /// <param name="options">How, or null for the defaults.</param>
    /// <param name="clock">Measures intervals; null is the system's clock.</param>
    /// <exception cref="ArgumentException">An option is outside its documented range.</exception>
    /// <exception cref="IOException">No file can be written there, or another program is recording under that name; the message is one line with the cure.</exception>
    public CaptureRecorder(string name, CaptureOptions? options = null, TimeProvider? clock = null)
    {
        ArgumentException.ThrowIfNullOrEmpty(name);
        _options = options ?? new CaptureOptions();
        _options.Validate();
        _clock = clock ?? TimeProvider.System;
        _names = new CaptureNames(name, _options.Rotation is not null);
        _flushed = _clock.GetTimestamp();

        // Tried now: a device may take its time before the first scan.
        AtomicFile.Create(_names.First + ".sigmf-data", bufferBytes: 0).Dispose();
        OtherCapture.Refuse(_names.First);
    }

    /// <summary>Scans taken.</summary>
    public long Scans { get; private set; }

    /// <summary>Scans known to be missing: those of gaps, and what breaks say at the least.</summary>
    public long LostScans { get; private set; }

    /// <summary>Places where a known number of scans is missing.</summary>
    public long Gaps { get; private set; }

    /// <summary>Places where an unknown number of scans is missing.</summary>
    public long Breaks { get; private set; }

    /// <summary>Position in the stream of the next scan, scans of gaps counted.</summary>
    public long Position { get; private set; }

    /// <summary>The recordings so far, the one under way included unless it is no longer found under its name.</summary>
    public IReadOnlyList<CapturedRecording> Recordings => _writer is null || _vanished ? [.. _ended] : [.. _ended, UnderWay(_writer)];

    /// <inheritdoc/>
    /// <exception cref="ArgumentException">The format is not valid; nothing has changed.</exception>
    public void Describe(StreamDescription description)
    {
        ArgumentNullException.ThrowIfNull(description);
        description.Scan.Validate();
        bool adds = StreamSetup.IsAddedToBy(_description, description);
        if (_writer is not null && !StreamSetup.IsSame(description, _description))
        {
            if (adds && !_otherScans) Add(description);
            else _otherScans = true;
        }

        // A device that began anew and has not said its name yet has said nothing.
        if (_described && !adds && description.Device.Length > 0 && !string.Equals(description.Device, _description.Device, StringComparison.Ordinal))
            _notes.Add(CaptureNotes.DeviceLabel, description.Device);
        _description = description;
        _described = true;
    }

    /// <inheritdoc/>
    /// <exception cref="ArgumentException">The span is not whole scans of the channels last described; nothing was recorded.</exception>
    /// <exception cref="RecordingException">The disk is full or failed, the recording's folder is gone, or its dataset was cut short; what was written stays.</exception>
    /// <exception cref="InvalidOperationException">The capture has ended.</exception>
    public void Take(ReadOnlySpan<ushort> scans)
    {
        if (_over) throw new InvalidOperationException("The capture has ended, and nothing is recorded any more; begin another one with a recorder of its own.");
        int channels = _description.Scan.ChannelCount;
        if (scans.Length % channels != 0)
            throw new ArgumentException($"{scans.Length} codes are no whole number of scans of {channels} channels; give whole scans.");
        while (!scans.IsEmpty)
        {
            bool begun = _writer is null || IsFull();
            if (begun) Next();
            int count = (int)Math.Min(scans.Length / channels, Room(channels));
            _notes.WriteTo(_writer!, _writer!.ScanCount);
            _writer!.Write(scans[..(count * channels)]);
            scans = scans[(count * channels)..];
            Scans += count;
            Position += count;
            _unflushedScans += count;
            if (begun || _unflushedScans >= MostUnflushed) Flush();
        }

        Tick();
    }

    /// <inheritdoc/>
    /// <remarks>More than a stream may lose is taken for a break: the position is not to be believed.</remarks>
    /// <exception cref="ArgumentOutOfRangeException">Not at least 1.</exception>
    /// <exception cref="RecordingException">It was time to flush, and the disk is full or failed, the recording's folder is gone, or its dataset was cut short.</exception>
    public void Skip(long lostScans, GapCause cause)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(lostScans);
        if (lostScans > ScanGap.MostLostScans - Position)
        {
            // Nothing loses that many: the position is not to be believed.
            Break(cause, 0);
            return;
        }

        Gaps++;
        LostScans += lostScans;
        Position += lostScans;
        _segmentPosition = Position;
        _writer?.WriteGap(lostScans, cause);
        _notes.AddGap(lostScans, cause);
        Tick();
    }

    /// <inheritdoc/>
    /// <exception cref="ArgumentOutOfRangeException">Fewer than none.</exception>
    /// <exception cref="RecordingException">It was time to flush, and the disk is full or failed, the recording's folder is gone, or its dataset was cut short.</exception>
    public void Break(GapCause cause, long atLeast)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(atLeast);
        Breaks++;
        LostScans += atLeast;
        _segmentPosition = Position;
        _writer?.WriteBreak(cause);
        _notes.EndMark();
        _notes.AddBreak(cause, atLeast);
        Tick();
    }

    /// <inheritdoc/>
    public void Mark(long position, ushort word)
    {
        if (_notes.LastMark == word) return;

        // What holds from a place in a gap, or before it, holds from the first scan behind it as far as the recording is concerned.
        long back = Position - Math.Clamp(position, _segmentPosition, Position);
        _notes.AddMark(word);
        if (_writer is not null && back > 0) _notes.WriteTo(_writer, Math.Max(0, _writer.ScanCount - back));
    }

    /// <inheritdoc/>
    /// <exception cref="RecordingException">It was time to flush, and the disk is full or failed, the recording's folder is gone, or its dataset was cut short.</exception>
    public void Say(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        _notes.Add(CaptureNotes.DeviceLabel, text);
        Tick();
    }

    /// <summary>Flushes if it is time; for a host to call while nothing comes.</summary>
    /// <exception cref="RecordingException">The disk is full or failed, the recording's folder is gone, or its dataset was cut short.</exception>
    public void Tick()
    {
        if (_clock.GetElapsedTime(_flushed) >= _options.FlushInterval / 2) Flush();
    }

    /// <summary>Hands everything to the system, and on to the disk with <see cref="CaptureOptions.Sync"/>.</summary>
    /// <exception cref="RecordingException">The disk is full or failed, the recording's folder is gone, or its dataset was cut short.</exception>
    public void Flush()
    {
        _flushed = _clock.GetTimestamp();
        _unflushedScans = 0;
        if (_writer is null) return;
        _notes.WriteTextsTo(_writer);
        _writer.Flush(_options.Sync);

        if (_writer.IsUnderItsName) return;
        _vanished = true;
        throw Vanished();
    }

    /// <summary>Ends the capture: all files are whole and on the disk.</summary>
    /// <exception cref="RecordingException">The disk is full or failed, the recording's folder is gone, or its dataset was cut short.</exception>
    public void Complete()
    {
        if (_over) return;
        if (_writer is not null)
        {
            Flush();
            _notes.WriteToLast(_writer);
            End();
        }

        _over = true;
        _ending.GetAwaiter().GetResult();
    }

    /// <summary>Without <see cref="Complete"/>, keeps what came so far in a recording that says that it was not ended.</summary>
    public void Dispose()
    {
        _over = true;
        ((IAsyncResult)_ending).AsyncWaitHandle.WaitOne();
        if (_writer is null) return;
        if (!_vanished) _ended.Add(UnderWay(_writer));
        _writer.Dispose();
        _writer = null;
    }

    // Scans that had to wait on their way come faster than their rate: then their number counts, not the time since the last flush.
    private long MostUnflushed => _description.Scan.ScanRateHz is { } rate
        ? Math.Max(1, (long)Math.Min(rate * _options.FlushInterval.TotalSeconds / 4, long.MaxValue / 4))
        : long.MaxValue;

    private bool IsFull()
    {
        if (_otherScans) return true;
        if (_writer!.SegmentCount >= MostSegments || _notes.CharactersWritten >= MostNoteCharacters) return true;
        if (_options.Rotation is not { } rotation || _writer.ScanCount == 0) return false;
        return Room(_description.Scan.ChannelCount) <= 0 || (rotation.MostTime is { } time && _clock.GetElapsedTime(_recordingBegan) >= time);
    }

    private long Room(int channels) => _options.Rotation?.MostBytes is { } bytes
        ? Math.Max(1, bytes / (BytesPerCode * channels)) - _writer!.ScanCount
        : long.MaxValue;
}
