using System.Buffers.Binary;
using System.Runtime.InteropServices;
using Acquire.Recordings.Wav;

namespace Acquire.Recordings;

/// <summary>Writes scans as a WAV file of 16-bit words that appears under its name only when it is complete.</summary>
/// <remarks>
/// For programs that read nothing else: the format has no place for gaps, so a stream with gaps belongs into a recording (<see cref="RecordingWriter"/>).
/// Codes are stored signed and left-aligned, as the format wants: with 12 bits code 0 becomes −32768 and code 4095 becomes 32752. How many bits were used
/// stands in a chunk of its own, which others pass over: many programs refuse words that are stated to be filled up. <see cref="RecordingReader"/> gets the
/// codes back exactly. Longer than 4 GiB it becomes RF64. Not thread-safe.
/// </remarks>
public sealed class WavWriter : IDisposable
{
    private const int BufferBytes = 128 << 10;
    private const int BlockCodes = 8 << 10;
    private const int WordBytes = 2;
    private const int SizesBytes = 28;
    private const int RiffHeaderBytes = 12;
    private const int ChunkHeaderBytes = 8;

    private readonly AtomicFile _file;
    private readonly long _mostRiffBytes;
    private readonly int _channelCount;
    private readonly uint _scanRateHz;
    private readonly int _bits;
    private readonly ushort[] _block = new ushort[BlockCodes];

    /// <summary>Begins a file.</summary>
    /// <param name="path">Its name.</param>
    /// <param name="channelCount">Words per scan, 1 to 32,767.</param>
    /// <param name="scanRateHz">Scans per second, a whole number from 1 to 2^32 - 1.</param>
    /// <param name="bits">Bits of one code, 1 to 16.</param>
    /// <exception cref="ArgumentException">A value is outside its range.</exception>
    /// <exception cref="IOException">The file cannot be written there; the message is one line with the cure.</exception>
    public WavWriter(string path, int channelCount, double scanRateHz, int bits = 16)
        : this(path, channelCount, scanRateHz, bits, uint.MaxValue)
    {
    }

    internal WavWriter(string path, int channelCount, double scanRateHz, int bits, long mostRiffBytes)
    {
        if (channelCount is < 1 or > short.MaxValue)
            throw new ArgumentException($"channelCount is {channelCount}; a WAV file has 1 to {short.MaxValue} channels.");
        if (!(scanRateHz >= 1 && scanRateHz <= uint.MaxValue && Math.Floor(scanRateHz) == scanRateHz))
            throw new ArgumentException($"scanRateHz is {scanRateHz}; a WAV file has a whole number from 1 to {uint.MaxValue}. Write a recording instead.");
        if (bits is < 1 or > 16)
            throw new ArgumentException($"bits is {bits}; a code has 1 to 16 bits.");
        _channelCount = channelCount;
        _scanRateHz = (uint)scanRateHz;
        _bits = bits;
        _mostRiffBytes = mostRiffBytes;
        _file = AtomicFile.Create(path, BufferBytes);
        try
        {
            _file.Stream.Write(Header());
        }
        catch
        {
            _file.Dispose();
            throw;
        }
    }

    /// <summary>Scans written so far.</summary>
    public long ScanCount { get; private set; }

    private bool IsExtensible => _channelCount > 2;

    private bool SaysBits => _bits != 8 * WordBytes;

    private int FormatBytes => IsExtensible ? WavFormat.ExtensibleBytes : WavFormat.PlainBytes;

    private int HeaderBytes => RiffHeaderBytes + ChunkHeaderBytes + SizesBytes + ChunkHeaderBytes + FormatBytes
        + (SaysBits ? ChunkHeaderBytes + WavFormat.UsedBitsBytes : 0) + ChunkHeaderBytes;

    /// <summary>Writes scans.</summary>
    /// <param name="scans">Interleaved codes, whole scans only; a code above 2^bits - 1 has no place in the file.</param>
    /// <exception cref="ArgumentException">The span is not a whole number of scans, or a code is too high; nothing of it was written.</exception>
    /// <exception cref="RecordingException">The disk is full or failed.</exception>
    /// <exception cref="InvalidOperationException">The file has ended.</exception>
    public void Write(ReadOnlySpan<ushort> scans)
    {
        if (!_file.Stream.CanWrite) throw new InvalidOperationException($"{VisibleText.Whole(_file.FullName)} has ended; begin a new file.");
        if (scans.Length % _channelCount != 0)
            throw new ArgumentException($"{scans.Length} codes are no whole number of scans of {_channelCount} channels; write whole scans.");
        int fullCode = (1 << _bits) - 1;
        if (scans.IndexOfAnyExceptInRange((ushort)0, (ushort)fullCode) is >= 0 and int at)
            throw new ArgumentException($"Code {scans[at]} is above {fullCode}, the full code of {_bits} bits; leave such scans out or state more bits.");
        try
        {
            for (int from = 0; from < scans.Length; from += BlockCodes)
            {
                ReadOnlySpan<ushort> part = scans.Slice(from, Math.Min(BlockCodes, scans.Length - from));
                for (int i = 0; i < part.Length; i++)
                {
                    ushort word = (ushort)((part[i] << (16 - _bits)) ^ 0x8000);
                    _block[i] = BitConverter.IsLittleEndian ? word : BinaryPrimitives.ReverseEndianness(word);
                }

                _file.Stream.Write(MemoryMarshal.AsBytes(_block.AsSpan(0, part.Length)));
            }
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            throw NotWritable(e);
        }

        ScanCount += scans.Length / _channelCount;
    }

    /// <summary>Ends the file: its sizes are filled in, it reaches the disk and gets its name.</summary>
    /// <exception cref="RecordingException">The disk is full or failed.</exception>
    /// <exception cref="InvalidOperationException">The file is complete already.</exception>
    public void Complete()
    {
        try
        {
            if (_file.Stream.CanSeek)
            {
                _file.Stream.Position = 0;
                _file.Stream.Write(Header());
            }

            _file.Commit();
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            throw NotWritable(e);
        }
    }

    /// <summary>Deletes what was written unless the file was completed.</summary>
    public void Dispose() => _file.Dispose();

    private byte[] Header()
    {
        long dataBytes = ScanCount * _channelCount * WordBytes;
        long riffBytes = HeaderBytes - ChunkHeaderBytes + dataBytes;
        bool is64 = riffBytes > _mostRiffBytes;
        byte[] header = new byte[HeaderBytes];
        Span<byte> rest = header;
        Put(ref rest, is64 ? "RF64"u8 : "RIFF"u8, is64 ? uint.MaxValue : (uint)riffBytes);
        Put(ref rest, "WAVE"u8);

        // A place is kept for the long sizes, whether they are needed or not.
        Put(ref rest, is64 ? "ds64"u8 : "JUNK"u8, SizesBytes);
        if (is64)
        {
            BinaryPrimitives.WriteInt64LittleEndian(rest, riffBytes);
            BinaryPrimitives.WriteInt64LittleEndian(rest[8..], dataBytes);
            BinaryPrimitives.WriteInt64LittleEndian(rest[16..], ScanCount);
        }

        rest = rest[SizesBytes..];
        Put(ref rest, "fmt "u8, (uint)FormatBytes);
        Format(rest);
        rest = rest[FormatBytes..];
        if (SaysBits)
        {
            Put(ref rest, WavFormat.UsedBitsId, WavFormat.UsedBitsBytes);
            BinaryPrimitives.WriteInt32LittleEndian(rest, _bits);
            rest = rest[WavFormat.UsedBitsBytes..];
        }

        Put(ref rest, "data"u8, is64 ? uint.MaxValue : (uint)dataBytes);
        return header;
    }

    private void Format(Span<byte> chunk)
    {
        int scanBytes = _channelCount * WordBytes;
        BinaryPrimitives.WriteUInt16LittleEndian(chunk, IsExtensible ? WavFormat.TagExtensible : WavFormat.TagIntegers);
        BinaryPrimitives.WriteUInt16LittleEndian(chunk[2..], (ushort)_channelCount);
        BinaryPrimitives.WriteUInt32LittleEndian(chunk[4..], _scanRateHz);
        BinaryPrimitives.WriteUInt32LittleEndian(chunk[8..], (uint)Math.Min((ulong)_scanRateHz * (ulong)scanBytes, uint.MaxValue));
        BinaryPrimitives.WriteUInt16LittleEndian(chunk[12..], (ushort)scanBytes);
        BinaryPrimitives.WriteUInt16LittleEndian(chunk[14..], 8 * WordBytes);
        if (!IsExtensible) return;
        const int ExtensionBytes = WavFormat.ExtensibleBytes - WavFormat.PlainBytes - 2;
        BinaryPrimitives.WriteUInt16LittleEndian(chunk[16..], ExtensionBytes);
        BinaryPrimitives.WriteUInt16LittleEndian(chunk[18..], 8 * WordBytes);
        BinaryPrimitives.WriteUInt16LittleEndian(chunk[24..], WavFormat.TagIntegers);
        WavFormat.GuidTail.CopyTo(chunk[26..]);
    }

    private static void Put(ref Span<byte> rest, ReadOnlySpan<byte> id)
    {
        id.CopyTo(rest);
        rest = rest[id.Length..];
    }

    private static void Put(ref Span<byte> rest, ReadOnlySpan<byte> id, uint size)
    {
        Put(ref rest, id);
        BinaryPrimitives.WriteUInt32LittleEndian(rest, size);
        rest = rest[sizeof(uint)..];
    }

    private RecordingException NotWritable(Exception e) =>
        new(RecordingFailure.NotWritable,
            $"{VisibleText.Whole(_file.FullName)} could not be written: {SystemReason.Of(e)}; {WriteCure.Of(e, "name another folder")}.", e);
}
