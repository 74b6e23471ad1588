using System.Buffers.Binary;
using Acquire.Capture;

namespace Acquire.Link;

/// <summary>Decodes the link protocol: frames with checks, sequence numbers and positions, so that what is missing is known exactly.</summary>
/// <remarks>
/// After any damage it goes on at the next delimiter. A frame is used only if both its checks, its length and its payload are sound and its place in the stream
/// has not passed. Scans delivered and scans in gaps add up to those sent between the first and the last frame used, run by run; between runs stands a break.
/// docs/link-protocol.md says what is judged how.
/// </remarks>
public sealed partial class LinkDecoder : IByteDecoder
{
    private readonly byte[] _carry = new byte[LinkFrame.MostEncodedBytes];
    private readonly byte[] _frame = new byte[LinkFrame.MostEncodedBytes + Cobs.Slack];
    private readonly long[] _ofVerdict = new long[Enum.GetValues<LinkVerdict>().Length];
    private readonly long[] _ofKind = new long[(int)LinkFrameKind.End + 1];
    private readonly LinkOrder _order = new();
    private readonly ScanOutlet _outlet;
    private readonly LinkDecoderOptions _options;
    private int _carried;              // bytes of the piece under way, which may be more than are kept
    private bool _joining = true;
    private bool _completed;

    /// <summary>Builds a decoder.</summary>
    /// <param name="receiver">Takes what is decoded.</param>
    /// <param name="options">What to do where the device leaves it open, or null for the defaults.</param>
    /// <exception cref="ArgumentException">The assumed description is not valid.</exception>
    public LinkDecoder(IScanReceiver receiver, LinkDecoderOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(receiver);
        _options = options ?? new LinkDecoderOptions();
        _options.Assumed?.Scan.Validate();
        _outlet = new ScanOutlet(receiver, channelCount: 0);
    }

    /// <inheritdoc/>
    public long BytesTaken { get; private set; }

    /// <inheritdoc/>
    public long BytesDiscarded { get; private set; }

    /// <inheritdoc/>
    public long ScansDelivered => _outlet.Delivered;

    /// <inheritdoc/>
    public long ScansLost => _outlet.Lost;

    /// <inheritdoc/>
    public long Breaks => _outlet.Breaks;

    /// <summary>Times that the numbers began anew: another run, or numbers that went back.</summary>
    public long Resets { get; private set; }

    /// <summary>Scans that the device says it has sent in its run, from the last end frame; null before one.</summary>
    public ulong? SentByDevice { get; private set; }

    /// <summary>Pieces between delimiters that were judged so.</summary>
    /// <param name="verdict">Verdict; none were judged one that there is not.</param>
    public long CountOf(LinkVerdict verdict) => (uint)verdict < (uint)_ofVerdict.Length ? _ofVerdict[(int)verdict] : 0;

    /// <summary>Frames of a kind that were used.</summary>
    /// <param name="kind">Kind.</param>
    public long FramesOf(LinkFrameKind kind) => (int)kind < _ofKind.Length ? _ofKind[(int)kind] : 0;

    /// <inheritdoc/>
    /// <exception cref="LinkVersionException">A sound frame of an unknown major version came; everything before it was delivered.</exception>
    public void Take(ReadOnlySpan<byte> bytes)
    {
        long offset = BytesTaken;
        BytesTaken += bytes.Length;
        while (!bytes.IsEmpty)
        {
            int end = Delimiters.Find(bytes);
            if (end < 0)
            {
                Carry(bytes);
                break;
            }

            Delimiters.AskAhead(bytes, end);
            if (_carried == 0)
            {
                EndPiece(bytes, end, offset);
            }
            else
            {
                long begin = offset - _carried;
                Carry(bytes[..end]);
                int length = _carried;
                _carried = 0;
                EndPiece(_carry, length, begin);
            }

            offset += end + 1;
            bytes = bytes[(end + 1)..];
        }

        _outlet.Flush();
    }

    /// <inheritdoc/>
    public void Interrupt(GapCause cause)
    {
        CutOff();
        _joining = true;
        _causeOfNextGap = cause;
    }

    /// <inheritdoc/>
    public void Complete()
    {
        if (_completed) return;
        _completed = true;
        CutOff();
        DropHeld();
        _outlet.Settle();
    }

    private void Carry(ReadOnlySpan<byte> bytes)
    {
        int room = _carry.Length - _carried;
        if (room > 0) bytes[..Math.Min(room, bytes.Length)].CopyTo(_carry.AsSpan(_carried));
        _carried = (int)Math.Min(int.MaxValue, (long)_carried + bytes.Length);
    }

    private void CutOff()
    {
        if (_carried == 0) return;
        Reject(LinkVerdict.CutOff, BytesTaken - _carried, _carried, _carry.AsSpan(0, Math.Min(_carried, _carry.Length)), header: null);
        BytesDiscarded--;          // no delimiter
        _carried = 0;
    }

    // The piece is the first bytes of what may be read; of one that is too long, not even that.
    private void EndPiece(ReadOnlySpan<byte> readable, int length, long offset)
    {
        bool joining = _joining;
        _joining = false;
        if (length == 0)
        {
            BytesDiscarded++;
            return;
        }

        LinkVerdict verdict = Judge(readable, length, offset, out LinkHeader header);
        if (verdict == LinkVerdict.Accepted) return;
        if (joining && verdict is LinkVerdict.Crc or LinkVerdict.Stuffing or LinkVerdict.TooShort or LinkVerdict.TooLong) verdict = LinkVerdict.Joined;
        bool sound = verdict is not (LinkVerdict.Crc or LinkVerdict.Sum or LinkVerdict.Stuffing or LinkVerdict.TooShort or LinkVerdict.TooLong or LinkVerdict.Joined);
        if (verdict != LinkVerdict.UnknownKind) Reject(verdict, offset, length, readable[..Math.Min(length, _carry.Length)], sound ? header : null);
        if (verdict != LinkVerdict.UnknownMajor || !_options.StopAtUnknownMajor) return;
        _outlet.Settle();
        throw new LinkVersionException(header.Major, header.Minor);
    }

    private LinkVerdict Judge(ReadOnlySpan<byte> readable, int length, long offset, out LinkHeader header)
    {
        header = default;
        if (length > LinkFrame.MostEncodedBytes) return LinkVerdict.TooLong;
        if (length <= LinkFrame.FewestBytes) return LinkVerdict.TooShort;
        int count = Cobs.Decode(readable, length, _frame);
        if (count < 0) return LinkVerdict.Stuffing;
        ReadOnlySpan<byte> frame = _frame.AsSpan(0, count);
        LinkVerdict verdict = LinkFrame.Open(frame, out header);
        if (verdict != LinkVerdict.Accepted) return verdict;
        if (_heldLength > 0)
        {
            if (LinkOrder.GoesOn(_heldHeader, header)) UseHeld();
            else DropHeld();

            // The held frame took the place of this one.
            Cobs.Decode(readable, length, _frame);
        }

        uint crc = BinaryPrimitives.ReadUInt32LittleEndian(frame[^4..]);
        return Place(frame, header, crc, readable[..length], offset, anew: false);
    }

    private void Reject(LinkVerdict verdict, long offset, int length, ReadOnlySpan<byte> encoded, LinkHeader? header)
    {
        BytesDiscarded += (long)length + 1;
        Report(new LinkFrameReport(offset, length, verdict, header, Scans: 0, LostBefore: 0, Break: false), encoded);
    }

    private void Report(in LinkFrameReport report, ReadOnlySpan<byte> encoded)
    {
        _ofVerdict[(int)report.Verdict]++;
        _options.Observer?.Saw(report, encoded);
    }
}
