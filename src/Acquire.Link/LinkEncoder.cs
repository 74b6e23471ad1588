using System.Buffers;
using System.Buffers.Binary;
using Acquire.Capture;

namespace Acquire.Link;

/// <summary>Writes the link protocol, as a device does: byte for byte what the sender in C writes for the same calls.</summary>
/// <remarks>One thread uses it. It allocates nothing once built, if the writer does not.</remarks>
public sealed class LinkEncoder
{
    private const int ScansHeadBytes = 2;

    private readonly LinkEncoderOptions _options;
    private readonly byte[] _frame = new byte[LinkFrame.MostBytes];
    private readonly byte[] _description = new byte[LinkDescription.MostBytes];
    private readonly int _descriptionBytes;
    private readonly int _channels;
    private readonly int _fullCode;
    private readonly bool _packed;

    /// <summary>Builds an encoder.</summary>
    /// <param name="options">What is sent.</param>
    /// <exception cref="ArgumentException">The options are not valid, or a voltage does not fit into a description.</exception>
    public LinkEncoder(LinkEncoderOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        options.Validate();
        _options = options;
        _channels = options.Description.Scan.ChannelCount;
        _packed = options.SendsPacked;
        _fullCode = _packed ? 0xFFF : 0xFFFF;
        _descriptionBytes = LinkDescription.Write(options.Description, _description);
        ScansPerFrame = ScansIn(options.FrameBytes);
        Run = options.Run;
        Position = options.FirstPosition;
    }

    /// <summary>Scans in a full frame.</summary>
    public int ScansPerFrame { get; }

    /// <summary>Run that is written.</summary>
    public ushort Run { get; private set; }

    /// <summary>Position of the next scan.</summary>
    public ulong Position { get; private set; }

    /// <summary>Number of the next frame.</summary>
    public uint Sequence { get; private set; }

    /// <summary>Scans written in this run.</summary>
    public ulong ScansSent { get; private set; }

    /// <summary>Begins anew, as a device does that was reset or lost count of its scans.</summary>
    /// <param name="run">A number other than those of the runs before.</param>
    /// <param name="position">Position of the next scan.</param>
    public void BeginRun(ushort run, ulong position = 0)
    {
        Run = run;
        Position = position;
        Sequence = 0;
        ScansSent = 0;
    }

    /// <summary>Writes what the scans are; at the start, and again about once a second for those who join late.</summary>
    /// <param name="output">Takes the bytes.</param>
    public void WriteDescription(IBufferWriter<byte> output)
    {
        _description.AsSpan(0, _descriptionBytes).CopyTo(_frame.AsSpan(LinkFrame.HeaderBytes));
        Write(LinkFrameKind.Description, _descriptionBytes, output);
    }

    /// <summary>Writes scans, in as many frames as they need.</summary>
    /// <param name="scans">Interleaved words, whole scans.</param>
    /// <param name="output">Takes the bytes.</param>
    /// <exception cref="ArgumentException">The words are not whole scans, or a code does not fit into 12 bits; nothing was written.</exception>
    public void WriteScans(ReadOnlySpan<ushort> scans, IBufferWriter<byte> output)
    {
        if (scans.Length % _channels != 0)
            throw new ArgumentException($"{scans.Length} words are not whole scans of {_channels} channels. Give a multiple of {_channels}.", nameof(scans));
        if (_packed && scans.ContainsAnyExceptInRange((ushort)0, (ushort)_fullCode))
            throw new ArgumentException($"A code is above {_fullCode}, the highest of 12 bits. Send such codes in 16 bits.", nameof(scans));

        int most = ScansPerFrame * _channels;
        while (!scans.IsEmpty)
        {
            int words = Math.Min(most, scans.Length);
            Span<byte> payload = _frame.AsSpan(LinkFrame.HeaderBytes);
            payload[0] = (byte)_channels;
            payload[1] = (byte)_options.Description.Scan.Bits;
            if (_packed) PackedCodes.Write12(scans[..words], payload[ScansHeadBytes..]);
            else PackedCodes.Write16(scans[..words], payload[ScansHeadBytes..]);
            Write(_packed ? LinkFrameKind.Scans12 : LinkFrameKind.Scans16, ScansHeadBytes + (_packed ? PackedCodes.BytesOf12(words) : 2 * words), output);
            Position += (ulong)(words / _channels);
            ScansSent += (ulong)(words / _channels);
            scans = scans[words..];
        }
    }

    /// <summary>Writes that the device lost scans; the next scan is that many further on.</summary>
    /// <param name="lostScans">Scans, 1 or more; 0 only if not exact. More than 2^40 no receiver believes.</param>
    /// <param name="output">Takes the bytes.</param>
    /// <param name="exact">False where the device only knows that at least so many are missing; then <see cref="BeginRun"/> follows.</param>
    /// <exception cref="ArgumentOutOfRangeException">The number is negative, or 0 and exact.</exception>
    public void WriteOverrun(long lostScans, IBufferWriter<byte> output, bool exact = true)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(lostScans, exact ? 1 : 0);
        Span<byte> payload = _frame.AsSpan(LinkFrame.HeaderBytes);
        BinaryPrimitives.WriteInt64LittleEndian(payload, lostScans);
        payload[8] = exact ? (byte)0 : (byte)1;
        Write(LinkFrameKind.Overrun, 9, output);
        Position += (ulong)lostScans;
    }

    /// <summary>Writes an auxiliary word.</summary>
    /// <param name="position">Position of the first scan for which it holds, at most <see cref="Position"/>.</param>
    /// <param name="word">The word.</param>
    /// <param name="output">Takes the bytes.</param>
    /// <exception cref="ArgumentOutOfRangeException">The position is beyond the next scan.</exception>
    public void WriteWord(ulong position, ushort word, IBufferWriter<byte> output)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(position, Position);
        Span<byte> payload = _frame.AsSpan(LinkFrame.HeaderBytes);
        BinaryPrimitives.WriteUInt64LittleEndian(payload, position);
        BinaryPrimitives.WriteUInt16LittleEndian(payload[8..], word);
        Write(LinkFrameKind.Word, 10, output);
    }

    /// <summary>Writes words for people.</summary>
    /// <param name="text">Text; as many whole characters as one frame holds in UTF-8.</param>
    /// <param name="output">Takes the bytes.</param>
    public void WriteText(string text, IBufferWriter<byte> output)
    {
        ArgumentNullException.ThrowIfNull(text);
        Write(LinkFrameKind.Text, LinkDescription.WriteText(text, _frame.AsSpan(LinkFrame.HeaderBytes, LinkFrame.MostPayloadBytes)), output);
    }

    /// <summary>Writes that the device stops, with the number of scans that it sent in this run.</summary>
    /// <param name="output">Takes the bytes.</param>
    public void WriteEnd(IBufferWriter<byte> output)
    {
        BinaryPrimitives.WriteUInt64LittleEndian(_frame.AsSpan(LinkFrame.HeaderBytes), ScansSent);
        Write(LinkFrameKind.End, 8, output);
    }

    /// <summary>Writes a delimiter alone: before the first frame, so that whatever stood on the line before does not spoil it.</summary>
    /// <param name="output">Takes the byte.</param>
    public static void WriteDelimiter(IBufferWriter<byte> output)
    {
        ArgumentNullException.ThrowIfNull(output);
        output.GetSpan(1)[0] = 0;
        output.Advance(1);
    }

    private void Write(LinkFrameKind kind, int payloadBytes, IBufferWriter<byte> output)
    {
        ArgumentNullException.ThrowIfNull(output);
        int length = LinkFrame.Seal(new LinkHeader(kind, Run, Sequence, Position), payloadBytes, _frame);
        Span<byte> wire = output.GetSpan(LinkFrame.MostWireBytes(payloadBytes));
        int written = Cobs.Encode(_frame.AsSpan(0, length), wire);
        wire[written] = 0;
        output.Advance(written + 1);
        Sequence++;
    }

    private int ScansIn(int frameBytes)
    {
        int scans = 0;
        while (true)
        {
            int words = (scans + 1) * _channels;
            int payload = ScansHeadBytes + (_packed ? PackedCodes.BytesOf12(words) : 2 * words);
            if (payload > LinkFrame.MostPayloadBytes || LinkFrame.MostWireBytes(payload) > frameBytes) return scans;
            scans++;
        }
    }
}
