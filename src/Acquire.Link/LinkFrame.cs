using System.Buffers.Binary;

namespace Acquire.Link;

/// <summary>The frame of the link protocol, version 1: header, payload, two checks; stuffed so that a zero byte is always a delimiter.</summary>
/// <remarks>docs/link-protocol.md is the definition and has worked examples.</remarks>
public static class LinkFrame
{
    /// <summary>Version that is written: major 1 in the high four bits, minor 0 in the low four.</summary>
    public const byte Version = 0x10;

    /// <summary>Bytes in front of the payload.</summary>
    public const int HeaderBytes = 18;

    /// <summary>Bytes behind the payload: sum of words and CRC-32C.</summary>
    public const int TrailerBytes = 6;

    /// <summary>Most bytes of a payload.</summary>
    public const int MostPayloadBytes = MostBytes - HeaderBytes - TrailerBytes;

    /// <summary>Most bytes of a frame before it is stuffed.</summary>
    public const int MostBytes = 8_192;

    /// <summary>Most bytes between two delimiters.</summary>
    public const int MostEncodedBytes = MostBytes + 1 + (MostBytes / 254);

    internal const int FewestBytes = HeaderBytes + TrailerBytes;

    /// <summary>Bytes that a frame takes on the wire at the most, delimiter included.</summary>
    /// <param name="payloadBytes">0 to <see cref="MostPayloadBytes"/>.</param>
    public static int MostWireBytes(int payloadBytes) => Cobs.MostEncoded(HeaderBytes + payloadBytes + TrailerBytes) + 1;

    /// <summary>Writes a frame with its closing delimiter.</summary>
    /// <param name="header">Header.</param>
    /// <param name="payload">Payload, 0 to <see cref="MostPayloadBytes"/> bytes, as it stands in the frame.</param>
    /// <param name="destination">At least <see cref="MostWireBytes"/>.</param>
    /// <returns>Bytes written.</returns>
    /// <exception cref="ArgumentException">The payload is too long or the destination too short; the message gives value, rule and fix.</exception>
    public static int Write(in LinkHeader header, ReadOnlySpan<byte> payload, Span<byte> destination)
    {
        if (payload.Length > MostPayloadBytes)
            throw new ArgumentException($"The payload has {payload.Length} bytes; a frame holds at most {MostPayloadBytes}. Send it in several frames.", nameof(payload));
        if (destination.Length < MostWireBytes(payload.Length))
            throw new ArgumentException($"The destination has {destination.Length} bytes; a payload of {payload.Length} may take {MostWireBytes(payload.Length)}. Give as many.", nameof(destination));

        Span<byte> frame = stackalloc byte[MostBytes];
        payload.CopyTo(frame[HeaderBytes..]);
        int length = Seal(header, payload.Length, frame);
        int written = Cobs.Encode(frame[..length], destination);
        destination[written] = 0;
        return written + 1;
    }

    // The payload stands in the frame already.
    internal static int Seal(in LinkHeader header, int payloadBytes, Span<byte> frame)
    {
        frame[0] = header.Version;
        frame[1] = (byte)header.Kind;
        BinaryPrimitives.WriteUInt16LittleEndian(frame[2..], (ushort)payloadBytes);
        BinaryPrimitives.WriteUInt32LittleEndian(frame[4..], header.Sequence);
        BinaryPrimitives.WriteUInt64LittleEndian(frame[8..], header.Position);
        BinaryPrimitives.WriteUInt16LittleEndian(frame[16..], header.Run);
        int checkedBytes = HeaderBytes + payloadBytes;
        BinaryPrimitives.WriteUInt16LittleEndian(frame[checkedBytes..], WordSum.Of(frame[..checkedBytes]));
        BinaryPrimitives.WriteUInt32LittleEndian(frame[(checkedBytes + 2)..], Crc32C.Of(frame[..(checkedBytes + 2)]));
        return checkedBytes + TrailerBytes;
    }

    /// <summary>Checks an unstuffed frame and reads its header.</summary>
    /// <returns><see cref="LinkVerdict.Accepted"/>, or what is wrong; then the header is not to be used, but for its version on <see cref="LinkVerdict.UnknownMajor"/>.</returns>
    internal static LinkVerdict Open(ReadOnlySpan<byte> frame, out LinkHeader header)
    {
        header = default;
        if (frame.Length < FewestBytes) return LinkVerdict.TooShort;
        if (frame.Length > MostBytes) return LinkVerdict.TooLong;
        if (FrameChecks.Of(frame[..^4], out ushort sum) != BinaryPrimitives.ReadUInt32LittleEndian(frame[^4..])) return LinkVerdict.Crc;
        if (sum != BinaryPrimitives.ReadUInt16LittleEndian(frame[^TrailerBytes..])) return LinkVerdict.Sum;

        header = new LinkHeader(
            (LinkFrameKind)frame[1],
            BinaryPrimitives.ReadUInt16LittleEndian(frame[16..]),
            BinaryPrimitives.ReadUInt32LittleEndian(frame[4..]),
            BinaryPrimitives.ReadUInt64LittleEndian(frame[8..]))
        { Version = frame[0] };
        if (header.Major != Version >> 4) return LinkVerdict.UnknownMajor;
        return BinaryPrimitives.ReadUInt16LittleEndian(frame[2..]) == frame.Length - FewestBytes ? LinkVerdict.Accepted : LinkVerdict.Length;
    }
}
