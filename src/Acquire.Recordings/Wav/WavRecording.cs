using System.Buffers.Binary;
using Acquire.Capture;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Recordings.Wav;

/// <summary>Finds the scans in a WAV file: RIFF, and RF64 or BW64 for what is longer than 4 GiB.</summary>
internal sealed class WavRecording
{
    public const string Extension = ".wav";

    private const int HeaderBytes = 12;
    private const int ChunkHeaderBytes = 8;
    private const int SizesBytes = 28;
    private const uint SizeElsewhere = uint.MaxValue;

    /// <summary>What 32 bits of a size can count: a writer that goes on beyond it states the rest only.</summary>
    private const long SizeTurn = 1L << 32;

    /// <summary>2 GiB less a page, in whole scans: written by audio tools into a pipe for a size that they do not know yet (seen in what sox 14.4.2 writes).</summary>
    private const uint SizeToCome = 0x7FFF_F000;

    /// <summary>A file of chunks without content would be walked for ever; no real one has as many.</summary>
    private const int MostChunks = 10_000;

    private readonly string _path;
    private readonly SafeFileHandle _handle;
    private readonly long _fileBytes;
    private readonly List<string> _notes = [];
    private bool _is64;
    private long _dataBytes64 = -1;
    private WavFormat? _format;
    private long _dataAt = -1;
    private long _dataBytes;
    private bool _truncated;

    private WavRecording(string path, SafeFileHandle handle, long fileBytes)
    {
        _path = path;
        _handle = handle;
        _fileBytes = fileBytes;
    }

    /// <summary>Whether a name is that of a WAV file.</summary>
    public static bool IsNamed(string path) => path.EndsWith(Extension, StringComparison.OrdinalIgnoreCase);

    /// <summary>Opens a file and finds its scans.</summary>
    /// <param name="path">The file.</param>
    /// <param name="data">The open file.</param>
    /// <exception cref="RecordingException">The file cannot be opened, is no WAV file or is damaged.</exception>
    public static RecordingLayout Open(string path, out SafeFileHandle data)
    {
        data = FileOpening.Open(path, out long bytes, RecordingFailure.NotFound, RecordingFailure.NoScans);
        try
        {
            var file = new WavRecording(path, data, bytes);
            file.WalkChunks();
            return file.Layout();
        }
        catch
        {
            data.Dispose();
            throw;
        }
    }

    private void WalkChunks()
    {
        Span<byte> header = stackalloc byte[HeaderBytes];
        if (_fileBytes < HeaderBytes) throw NoWav();
        FileOpening.ReadExactly(_handle, header, 0, _path);
        _is64 = header.StartsWith("RF64"u8) || header.StartsWith("BW64"u8);
        if ((!_is64 && !header.StartsWith("RIFF"u8)) || !header[8..].SequenceEqual("WAVE"u8)) throw NoWav();
        long at = HeaderBytes;
        for (int chunk = 0; at + ChunkHeaderBytes <= _fileBytes && _dataAt < 0; chunk++)
        {
            if (chunk == MostChunks)
            {
                throw new RecordingException(RecordingFailure.FieldWrong,
                    $"{VisibleText.Whole(_path)} has more than {MostChunks} chunks before its data; it is damaged. Export it again.");
            }

            FileOpening.ReadExactly(_handle, header[..ChunkHeaderBytes], at, _path);
            uint size = BinaryPrimitives.ReadUInt32LittleEndian(header[4..]);
            at += ChunkHeaderBytes;
            Take(header[..4], at, size);
            at += size + (size & 1L);
        }
    }

    private void Take(ReadOnlySpan<byte> id, long at, uint size)
    {
        if (id.SequenceEqual("ds64"u8) && size >= SizesBytes)
        {
            Span<byte> sizes = stackalloc byte[SizesBytes];
            ReadChunk(sizes, at);
            ulong bytes = BinaryPrimitives.ReadUInt64LittleEndian(sizes[8..]);
            // More than a file can have is a size that was never filled in, as all ones are.
            _dataBytes64 = bytes <= long.MaxValue ? (long)bytes : -1;
        }
        else if (id.SequenceEqual("fmt "u8) && size >= WavFormat.PlainBytes)
        {
            Span<byte> chunk = stackalloc byte[(int)Math.Min(size, WavFormat.ExtensibleBytes)];
            ReadChunk(chunk, at);
            _format = WavFormat.Parse(chunk, _path);
        }
        else if (id.SequenceEqual(WavFormat.UsedBitsId) && size == WavFormat.UsedBitsBytes && _format is { } format)
        {
            Span<byte> bits = stackalloc byte[WavFormat.UsedBitsBytes];
            ReadChunk(bits, at);
            _format = format.WithUsedBits(BinaryPrimitives.ReadInt32LittleEndian(bits));
        }
        else if (id.SequenceEqual("data"u8))
        {
            _dataAt = at;
            _dataBytes = DataBytes(size, _fileBytes - at);
        }
    }

    private long DataBytes(uint size, long there)
    {
        if (size == SizeElsewhere && _is64 && _dataBytes64 > 0) return Cut(_dataBytes64, there);
        bool isToCome = size > there && size <= SizeToCome && SizeToCome - size < (_format is { } format ? format.Channels * format.Word.Bytes : 1);
        if (size is not (0 or SizeElsewhere) && !isToCome) return there - size >= SizeTurn ? Turned(size, there) : Cut(size, there);

        // Programs that write into a pipe cannot come back to fill the size in.
        _notes.Add("The file does not say how long its data are; everything up to its end is read.");
        return there;
    }

    // Nothing of 4 GiB and more can stand behind the data, since the format counts the whole file in 32 bits too.
    private long Turned(long stated, long there)
    {
        long bytes = stated + ((there - stated) / SizeTurn * SizeTurn);
        _notes.Add($"The file states {stated} bytes of data and has {there}, more than its 32 bits can count; {bytes} bytes are read as data.");
        return bytes;
    }

    private long Cut(long stated, long there)
    {
        if (stated > there)
        {
            _truncated = true;
            _notes.Add($"The file states {stated} bytes of data but only {there} are there; it was cut off.");
        }

        return Math.Min(stated, there);
    }

    private void ReadChunk(Span<byte> content, long at)
    {
        if (content.Length > _fileBytes - at)
        {
            throw new RecordingException(RecordingFailure.BeyondFile,
                $"{VisibleText.Whole(_path)} ends inside its header; find the whole file.");
        }

        FileOpening.ReadExactly(_handle, content, at, _path);
    }

    private RecordingLayout Layout()
    {
        if (_format is not { } format || _dataAt < 0)
        {
            throw new RecordingException(RecordingFailure.FieldMissing,
                $"{VisibleText.Whole(_path)} has no {(_format is null ? "format before its data" : "data")}; find the whole file or export it again.");
        }

        int scanBytes = format.Channels * format.Word.Bytes;
        long scans = _dataBytes / scanBytes;
        if (scans == 0)
        {
            throw new RecordingException(RecordingFailure.NoScans,
                $"{VisibleText.Whole(_path)} has {_dataBytes} bytes of data, not one whole scan of {scanBytes} bytes; find the whole file.");
        }

        long rest = _dataBytes % scanBytes;
        if (rest > 0)
        {
            _truncated = true;
            _notes.Add($"The data end with {rest} bytes that are not a whole scan; they are left out.");
        }

        return new RecordingLayout
        {
            Name = _path[..^Extension.Length],
            DataPath = _path,
            Word = format.Word,
            Channels = format.Channels,
            HasFullScale = format.HasFullScale,
            Segments = [new Segment(_dataAt, scans, 0, IsBreak: false, GapCause.File)],
            ScanRateHz = format.ScanRateHz,
            Notes = _notes,
            Truncated = _truncated,
        };
    }

    private RecordingException NoWav() =>
        new(RecordingFailure.UnknownKind,
            $"{VisibleText.Whole(_path)} is no WAV file although its name ends so; name a file that begins with RIFF, RF64 or BW64 and WAVE.");
}
