using System.Runtime.InteropServices;
using Acquire.Recordings.Words;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Recordings;

/// <summary>Reads the scans of one segment after another, converted to codes.</summary>
/// <remarks>Large reads of 16-bit words go straight into the caller's memory; everything else goes through one buffer of fixed size.</remarks>
internal sealed class ScanFileReader
{
    /// <summary>Bytes of the buffer, unless one scan is larger. Larger ones gained nothing against the page cache.</summary>
    private const int BufferBytes = 256 << 10;

    /// <summary>Most bytes asked of the system at once, so that a span of any size fits an int.</summary>
    private const int MostBytesAtOnce = 16 << 20;

    private readonly SafeFileHandle _handle;
    private readonly RecordingLayout _layout;
    private readonly IWordConverter _converter;
    private readonly CodeConverter? _inPlace;
    private readonly int _scanBytes;
    private readonly int _channels;
    private readonly byte[] _buffer;
    private long _next;
    private int _bufferedFrom;
    private int _bufferedTo;

    /// <summary>Builds a reader at the start of no segment.</summary>
    public ScanFileReader(SafeFileHandle handle, RecordingLayout layout, IWordConverter converter, int channels, byte[] buffer)
    {
        _handle = handle;
        _layout = layout;
        _converter = converter;
        _inPlace = converter is CodeConverter { IsInPlace: true } code ? code : null;
        _scanBytes = layout.Channels * layout.Word.Bytes;
        _channels = channels;
        _buffer = buffer;
    }

    /// <summary>A buffer for scans of a file, a whole number of them.</summary>
    public static byte[] BufferFor(RecordingLayout layout)
    {
        int scanBytes = layout.Channels * layout.Word.Bytes;
        return new byte[Math.Max(1, BufferBytes / scanBytes) * scanBytes];
    }

    /// <summary>Goes to the first scan of a segment.</summary>
    public void Begin(in Segment segment)
    {
        _next = segment.ByteOffset;
        _bufferedFrom = _bufferedTo = 0;
    }

    /// <summary>Reads scans that are there.</summary>
    /// <param name="codes">Exactly one code per channel and scan.</param>
    /// <param name="scans">Scans to read, at most what is left of the segment.</param>
    /// <param name="left">Scans left in the segment before this call.</param>
    public void Read(Span<ushort> codes, int scans, long left)
    {
        while (scans > 0)
        {
            int done;
            if (_bufferedFrom < _bufferedTo) done = TakeBuffered(codes, scans);
            else if (_inPlace is not null && (long)scans * _scanBytes >= _buffer.Length) done = ReadInPlace(codes, scans);
            else
            {
                Fill(left);
                done = TakeBuffered(codes, scans);
            }

            codes = codes[(done * _channels)..];
            scans -= done;
            left -= done;
        }
    }

    private int TakeBuffered(Span<ushort> codes, int scans)
    {
        int done = Math.Min(scans, (_bufferedTo - _bufferedFrom) / _scanBytes);
        _converter.Convert(_buffer.AsSpan(_bufferedFrom, done * _scanBytes), codes[..(done * _channels)]);
        _bufferedFrom += done * _scanBytes;
        return done;
    }

    private int ReadInPlace(Span<ushort> codes, int scans)
    {
        int done = Math.Min(scans, MostBytesAtOnce / _scanBytes);
        Span<ushort> target = codes[..(done * _channels)];
        FileOpening.ReadExactly(_handle, MemoryMarshal.AsBytes(target), _next, _layout.DataPath);
        _inPlace!.ConvertInPlace(target);
        _next += (long)done * _scanBytes;
        return done;
    }

    private void Fill(long left)
    {
        int bytes = (int)Math.Min(left * _scanBytes, _buffer.Length);
        Span<byte> raw = _buffer.AsSpan(0, bytes);
        FileOpening.ReadExactly(_handle, raw, _next, _layout.DataPath);
        WordConverters.ToNativeOrder(_layout.Word, raw);
        _next += bytes;
        _bufferedFrom = 0;
        _bufferedTo = bytes;
    }
}
