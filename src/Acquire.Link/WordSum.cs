using System.Buffers.Binary;
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Acquire.Link;

/// <summary>The second check of a frame: the sum of its 16-bit words, low byte first, a last single byte being a word of its own, modulo 65,536.</summary>
internal static class WordSum
{
    /// <summary>The sum of the bytes.</summary>
    public static ushort Of(ReadOnlySpan<byte> bytes)
    {
        uint sum = 0;
        int at = 0;
        if (BitConverter.IsLittleEndian && bytes.Length >= Vector<byte>.Count)
        {
            ref byte first = ref MemoryMarshal.GetReference(bytes);
            Vector<ushort> lanes = Vector<ushort>.Zero;
            for (; at <= bytes.Length - Vector<byte>.Count; at += Vector<byte>.Count)
                lanes += Unsafe.ReadUnaligned<Vector<ushort>>(ref Unsafe.Add(ref first, at));
            sum = Vector.Sum(lanes);
        }

        return (ushort)(sum + OfShort(bytes[at..]));
    }

    /// <summary>The sum of a few bytes, four words at a time.</summary>
    public static ushort OfShort(ReadOnlySpan<byte> bytes)
    {
        const ulong everyOtherWord = 0x0000_FFFF_0000_FFFF;
        ulong sums = 0;
        for (; bytes.Length >= 8; bytes = bytes[8..])
        {
            ulong words = BinaryPrimitives.ReadUInt64LittleEndian(bytes);
            sums += (words & everyOtherWord) + ((words >> 16) & everyOtherWord);
        }

        // Sums stay apart in 32 bits each for as many as 2^15 words.
        return (ushort)((uint)sums + (uint)(sums >> 32) + OfScalar(bytes));
    }

    /// <summary>The definition; what <see cref="Of"/> is compared with.</summary>
    public static ushort OfScalar(ReadOnlySpan<byte> bytes)
    {
        uint sum = 0;
        int at = 0;
        for (; at + 2 <= bytes.Length; at += 2) sum += BinaryPrimitives.ReadUInt16LittleEndian(bytes[at..]);
        if (at < bytes.Length) sum += bytes[at];
        return (ushort)sum;
    }
}
