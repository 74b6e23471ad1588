using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Acquire.Link;

/// <summary>Consistent overhead byte stuffing (Cheshire and Baker, IEEE/ACM Transactions on Networking 7(2), 1999): bytes without a zero among them.</summary>
internal static class Cobs
{
    private const int FullBlock = 255;

    /// <summary>Bytes that the stuffed form takes at the most, without the delimiter.</summary>
    public static int MostEncoded(int count) => count + 1 + (count / (FullBlock - 1));

    /// <summary>Stuffs bytes. A full block at the very end is not followed by an empty one.</summary>
    /// <param name="bytes">Any bytes.</param>
    /// <param name="destination">At least <see cref="MostEncoded"/> bytes.</param>
    /// <returns>Bytes written; none of them is zero.</returns>
    public static int Encode(ReadOnlySpan<byte> bytes, Span<byte> destination)
    {
        int written = 0;
        while (true)
        {
            int run = bytes.IndexOf((byte)0);
            bool zero = run >= 0;
            if (!zero) run = bytes.Length;
            while (run >= FullBlock - 1)
            {
                destination[written] = FullBlock;
                bytes[..(FullBlock - 1)].CopyTo(destination[(written + 1)..]);
                written += FullBlock;
                bytes = bytes[(FullBlock - 1)..];
                run -= FullBlock - 1;
                if (bytes.IsEmpty) return written;
            }

            destination[written] = (byte)(run + 1);
            bytes[..run].CopyTo(destination[(written + 1)..]);
            written += run + 1;
            if (!zero) return written;
            bytes = bytes[(run + 1)..];
        }
    }

    /// <summary>Takes the stuffing out.</summary>
    /// <remarks>
    /// But for full blocks, the bytes are those of the stuffed form with a zero in place of each length. So they are copied in
    /// wide pieces, and the walk along the lengths, which no processor can hurry, only puts the zeros in.
    /// </remarks>
    /// <param name="bytes">The stuffed form, without a zero among it and without the delimiter, and whatever stands behind it in memory.</param>
    /// <param name="count">Bytes of the stuffed form.</param>
    /// <param name="destination">Room for <paramref name="count"/> bytes and <see cref="Slack"/> more, which hold nothing of use afterwards.</param>
    /// <returns>Bytes written, or -1 where a length leads beyond the end or nothing is there.</returns>
    public static int Decode(ReadOnlySpan<byte> bytes, int count, Span<byte> destination)
    {
        if (count == 0) return -1;
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count, bytes.Length);
        ArgumentOutOfRangeException.ThrowIfLessThan(destination.Length, count + Slack);

        ref byte source = ref MemoryMarshal.GetReference(bytes);
        ref byte target = ref MemoryMarshal.GetReference(destination);
        int shift = 1;                 // how far a byte moves to the front: one for the first length, one for each full block
        int copied = 1;                // bytes of the stuffed form that were copied or are not to be
        int length = source;
        int next = length;             // place of the next length
        while (true)
        {
            if (next >= copied && copied < count)
            {
                // Up to the end of this block, which no piece is shorter than, and most often into the next one.
                if (copied + Slack <= bytes.Length)
                {
                    CopyPiece(ref Unsafe.Add(ref source, copied), ref Unsafe.Add(ref target, copied - shift));
                    copied += Slack;
                }
                else
                {
                    Unsafe.CopyBlockUnaligned(ref Unsafe.Add(ref target, copied - shift), ref Unsafe.Add(ref source, copied), (uint)(count - copied));
                    copied = count;
                }
            }

            if (next >= count) return next == count ? count - shift : -1;
            if (length == FullBlock)
            {
                shift++;
                copied = next + 1;
                length = Unsafe.Add(ref source, next);
                next += length;
                continue;
            }

            // Short blocks in a row: nothing but the walk.
            int end = Math.Min(copied, count);
            do
            {
                Unsafe.Add(ref target, next - shift) = 0;
                length = Unsafe.Add(ref source, next);
                next += length;
            }
            while (next < end && length != FullBlock);
        }
    }

    /// <summary>Takes the stuffing out of bytes behind which nothing may be read.</summary>
    /// <inheritdoc cref="Decode(ReadOnlySpan{byte}, int, Span{byte})"/>
    public static int Decode(ReadOnlySpan<byte> bytes, Span<byte> destination) => Decode(bytes, bytes.Length, destination);

    private static void CopyPiece(ref byte source, ref byte target)
    {
        Vector512<byte> a = Vector512.LoadUnsafe(ref source);
        Vector512<byte> b = Vector512.LoadUnsafe(ref source, 64);
        Vector512<byte> c = Vector512.LoadUnsafe(ref source, 128);
        Vector512<byte> d = Vector512.LoadUnsafe(ref source, 192);
        a.StoreUnsafe(ref target);
        b.StoreUnsafe(ref target, 64);
        c.StoreUnsafe(ref target, 128);
        d.StoreUnsafe(ref target, 192);
    }

    /// <summary>The definition, byte by byte; what decoding is compared with.</summary>
    public static int DecodeByteByByte(ReadOnlySpan<byte> encoded, Span<byte> destination)
    {
        if (encoded.IsEmpty || encoded.Contains((byte)0)) return -1;
        int written = 0;
        for (int at = 0; at < encoded.Length;)
        {
            int length = encoded[at++];
            if (at + length - 1 > encoded.Length) return -1;
            for (int i = 1; i < length; i++) destination[written++] = encoded[at++];
            if (length < FullBlock && at < encoded.Length) destination[written++] = 0;
        }

        return written;
    }

    /// <summary>Bytes of room that decoding needs beyond what it writes.</summary>
    public const int Slack = 256;
}
