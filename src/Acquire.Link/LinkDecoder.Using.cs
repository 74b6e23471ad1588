using System.Buffers.Binary;
using System.Text;
using Acquire.Capture;

namespace Acquire.Link;

/// <content>What becomes of a sound frame: its place in the stream, then its payload.</content>
public sealed partial class LinkDecoder
{
    private const int ScansHeadBytes = 2;
    private const int WordBytes = 10;
    private const int OverrunBytes = 9;
    private const int EndBytes = 8;

    // A frame whose numbers are far behind, until the next one shows whether the device began anew.
    private readonly byte[] _held = new byte[LinkFrame.MostEncodedBytes];
    private readonly byte[] _described = new byte[LinkFrame.MostPayloadBytes];
    private LinkHeader _heldHeader;
    private long _heldOffset;
    private int _heldLength;

    private StreamDescription? _description;
    private int _describedLength;
    private GapCause _causeOfNextGap = GapCause.Link;
    private long _runStart;
    private long _lastMark;

    private LinkVerdict Place(ReadOnlySpan<byte> frame, in LinkHeader header, uint crc, ReadOnlySpan<byte> encoded, long offset, bool anew)
    {
        ulong lost = 0;
        LinkPlace place = anew ? LinkPlace.NewStart : _order.Judge(header, crc, out lost);
        if (place is LinkPlace.Duplicate or LinkPlace.Late) return place == LinkPlace.Late ? LinkVerdict.Late : LinkVerdict.Duplicate;

        ReadOnlySpan<byte> payload = frame[LinkFrame.HeaderBytes..^LinkFrame.TrailerBytes];
        LinkVerdict verdict = Check(payload, header, out int scans, out ulong accounted);
        if (verdict is not (LinkVerdict.Accepted or LinkVerdict.UnknownKind)) return verdict;
        if (place == LinkPlace.Uncertain)
        {
            Hold(header, encoded, offset);
            return LinkVerdict.Accepted;
        }

        bool breaks = place == LinkPlace.NewStart;
        if (breaks)
        {
            Resets++;
            _outlet.Break(GapCause.Reset, 0);
        }

        if (lost > 0)
        {
            GapCause cause = _order.CauseOfGap(header);
            _outlet.Skip((long)lost, cause == GapCause.Link ? _causeOfNextGap : cause);
        }

        _causeOfNextGap = GapCause.Link;
        if (breaks || place == LinkPlace.First) _runStart = _outlet.Position;
        _order.Use(header, crc, anew: breaks || place == LinkPlace.First, accounted);
        Report(new LinkFrameReport(offset, encoded.Length, verdict, header, scans, (long)lost, breaks), encoded);
        if (verdict == LinkVerdict.UnknownKind)
        {
            BytesDiscarded += encoded.Length + 1;
            return verdict;
        }

        _ofKind[(int)header.Kind]++;
        Use(payload, header, scans);
        return LinkVerdict.Accepted;
    }

    // Says what is wrong with a payload before anything is changed by it.
    private LinkVerdict Check(ReadOnlySpan<byte> payload, in LinkHeader header, out int scans, out ulong accounted)
    {
        scans = 0;
        accounted = 0;
        switch (header.Kind)
        {
            case LinkFrameKind.Scans16 or LinkFrameKind.Scans12:
                LinkVerdict verdict = CheckScans(payload, header.Kind, out scans);
                accounted = (ulong)scans;
                return verdict;
            case LinkFrameKind.Description:
                if (IsDescribed(payload)) return LinkVerdict.Accepted;
                return LinkDescription.Read(payload, exact: header.Minor == 0, out _);
            case LinkFrameKind.Word:
                if (!Fits(payload, WordBytes, header)) return LinkVerdict.Length;
                return BinaryPrimitives.ReadUInt64LittleEndian(payload) <= header.Position ? LinkVerdict.Accepted : LinkVerdict.Contents;
            case LinkFrameKind.Overrun:
                if (!Fits(payload, OverrunBytes, header)) return LinkVerdict.Length;
                accounted = BinaryPrimitives.ReadUInt64LittleEndian(payload);
                return accounted <= LinkOrder.MostLost && (accounted > 0 || (payload[8] & 1) != 0) ? LinkVerdict.Accepted : LinkVerdict.Contents;
            case LinkFrameKind.Text:
                return LinkVerdict.Accepted;
            case LinkFrameKind.End:
                return Fits(payload, EndBytes, header) ? LinkVerdict.Accepted : LinkVerdict.Length;
            default:
                return LinkVerdict.UnknownKind;
        }
    }

    private static bool Fits(ReadOnlySpan<byte> payload, int bytes, in LinkHeader header) =>
        payload.Length == bytes || (payload.Length > bytes && header.Minor > 0);

    private static LinkVerdict CheckScans(ReadOnlySpan<byte> payload, LinkFrameKind kind, out int scans)
    {
        scans = 0;
        if (payload.Length <= ScansHeadBytes) return LinkVerdict.Length;
        int channels = payload[0];
        bool packed = kind == LinkFrameKind.Scans12;
        if (channels is < 2 or > ScanFormat.MaxChannels || payload[1] == 0 || payload[1] > (packed ? 12 : 16)) return LinkVerdict.Contents;

        int bytes = payload.Length - ScansHeadBytes;
        int words = packed ? bytes * 2 / 3 : bytes / 2;
        int needed = packed ? PackedCodes.BytesOf12(words) : 2 * words;
        scans = words / channels;
        return needed == bytes && scans * channels == words ? LinkVerdict.Accepted : LinkVerdict.Length;
    }

    private void Use(ReadOnlySpan<byte> payload, in LinkHeader header, int scans)
    {
        switch (header.Kind)
        {
            case LinkFrameKind.Scans16 or LinkFrameKind.Scans12:
                UseScans(payload, header.Kind, scans);
                break;
            case LinkFrameKind.Description:
                UseDescription(payload);
                break;
            case LinkFrameKind.Word:
                UseWord(payload, header.Position);
                break;
            case LinkFrameKind.Overrun:
                long lost = (long)BinaryPrimitives.ReadUInt64LittleEndian(payload);
                if ((payload[8] & 1) == 0)
                {
                    _outlet.Skip(lost, GapCause.Overrun);
                    break;
                }

                _outlet.Break(GapCause.Overrun, lost);
                _runStart = _outlet.Position;
                break;
            case LinkFrameKind.Text:
                _outlet.Say(Encoding.UTF8.GetString(payload));
                break;
            case LinkFrameKind.End:
                SentByDevice = BinaryPrimitives.ReadUInt64LittleEndian(payload);
                break;
        }
    }

    private void UseScans(ReadOnlySpan<byte> payload, LinkFrameKind kind, int scans)
    {
        int channels = payload[0];
        if (_description is null || _description.Scan.ChannelCount != channels || _description.Scan.Bits != payload[1]) Assume(channels, payload[1]);
        ReadOnlySpan<byte> bytes = payload[ScansHeadBytes..];
        int words = scans * channels;
        Span<ushort> room = _outlet.Next(words);
        if (kind == LinkFrameKind.Scans12) PackedCodes.Read12(bytes, room);
        else PackedCodes.Read16(bytes, room);
        _outlet.Add(words);
    }

    private void Assume(int channels, int bits)
    {
        StreamDescription assumed = _options.Assumed is { } known && known.Scan.ChannelCount == channels
            ? known
            : new StreamDescription { Scan = new ScanFormat { Roles = [ChannelRole.Ramp, .. Enumerable.Repeat(ChannelRole.Vertical, channels - 1)] } };
        _describedLength = 0;
        Describe(assumed with { Scan = assumed.Scan with { Bits = bits } });
    }

    private void UseDescription(ReadOnlySpan<byte> payload)
    {
        if (IsDescribed(payload)) return;
        _ = LinkDescription.Read(payload, exact: false, out StreamDescription? description);
        payload.CopyTo(_described);
        _describedLength = payload.Length;
        Describe(description!);
    }

    private void Describe(StreamDescription description)
    {
        _description = description;
        _outlet.Describe(description);
    }

    // A device says again and again what it is, for those who join late.
    private bool IsDescribed(ReadOnlySpan<byte> payload) => _describedLength > 0 && payload.SequenceEqual(_described.AsSpan(0, _describedLength));

    private void UseWord(ReadOnlySpan<byte> payload, ulong position)
    {
        ulong back = position - BinaryPrimitives.ReadUInt64LittleEndian(payload);
        long room = _outlet.Position - _runStart;
        long at = Math.Max(_outlet.Position - (long)Math.Min(back, (ulong)room), _lastMark);
        _lastMark = at;
        _outlet.Mark(at, BinaryPrimitives.ReadUInt16LittleEndian(payload[8..]));
    }

    private void Hold(in LinkHeader header, ReadOnlySpan<byte> encoded, long offset)
    {
        encoded.CopyTo(_held);
        _heldLength = encoded.Length;
        _heldHeader = header;
        _heldOffset = offset;
    }

    private void UseHeld()
    {
        ReadOnlySpan<byte> encoded = _held.AsSpan(0, _heldLength);
        _heldLength = 0;
        ReadOnlySpan<byte> frame = _frame.AsSpan(0, Cobs.Decode(encoded, _frame));
        Place(frame, _heldHeader, BinaryPrimitives.ReadUInt32LittleEndian(frame[^4..]), encoded, _heldOffset, anew: true);
    }

    private void DropHeld()
    {
        if (_heldLength == 0) return;
        int length = _heldLength;
        _heldLength = 0;
        Reject(LinkVerdict.Late, _heldOffset, length, _held.AsSpan(0, length), _heldHeader);
    }
}
