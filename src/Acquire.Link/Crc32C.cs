using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Acquire.Link;

/// <summary>CRC-32C (Castagnoli, reflected, start and final exclusive-or all ones), as RFC 3720 appendix B.4 gives it.</summary>
internal static class Crc32C
{
    // Three streams hide the latency of the processor's instruction, which is three cycles while one can start in each.
    private const int Stride = 96;
    private static readonly uint[] OneStride = ShiftTable(Stride);
    private static readonly uint[] TwoStrides = ShiftTable(2 * Stride);

    /// <summary>The check value of the bytes.</summary>
    public static uint Of(ReadOnlySpan<byte> bytes) => Continue(~0u, bytes);

    /// <summary>Goes on from a remainder.</summary>
    /// <param name="crc">Remainder of what came before, not inverted.</param>
    /// <param name="bytes">What follows.</param>
    /// <returns>The check value, inverted.</returns>
    public static uint Continue(uint crc, ReadOnlySpan<byte> bytes)
    {
        ref byte at = ref MemoryMarshal.GetReference(bytes);
        int left = bytes.Length;
        while (left >= 3 * Stride)
        {
            uint a = crc;
            uint b = 0;
            uint c = 0;
            for (int i = 0; i < Stride; i += 8)
            {
                a = BitOperations.Crc32C(a, Unsafe.ReadUnaligned<ulong>(ref Unsafe.Add(ref at, i)));
                b = BitOperations.Crc32C(b, Unsafe.ReadUnaligned<ulong>(ref Unsafe.Add(ref at, i + Stride)));
                c = BitOperations.Crc32C(c, Unsafe.ReadUnaligned<ulong>(ref Unsafe.Add(ref at, i + (2 * Stride))));
            }

            crc = Shift(TwoStrides, a) ^ Shift(OneStride, b) ^ c;
            at = ref Unsafe.Add(ref at, 3 * Stride);
            left -= 3 * Stride;
        }

        for (; left >= 8; left -= 8)
        {
            crc = BitOperations.Crc32C(crc, Unsafe.ReadUnaligned<ulong>(ref at));
            at = ref Unsafe.Add(ref at, 8);
        }

        if ((left & 4) != 0)
        {
            crc = BitOperations.Crc32C(crc, Unsafe.ReadUnaligned<uint>(ref at));
            at = ref Unsafe.Add(ref at, 4);
        }

        if ((left & 2) != 0)
        {
            crc = BitOperations.Crc32C(crc, Unsafe.ReadUnaligned<ushort>(ref at));
            at = ref Unsafe.Add(ref at, 2);
        }

        return (left & 1) != 0 ? ~BitOperations.Crc32C(crc, at) : ~crc;
    }

    /// <summary>The definition, bit by bit; what <see cref="Of"/> is compared with.</summary>
    public static uint OfBitByBit(ReadOnlySpan<byte> bytes)
    {
        const uint reflectedPolynomial = 0x82F63B78;
        uint crc = ~0u;
        foreach (byte b in bytes)
        {
            crc ^= b;
            for (int bit = 0; bit < 8; bit++) crc = (crc >> 1) ^ ((crc & 1) * reflectedPolynomial);
        }

        return ~crc;
    }

    // What a remainder becomes when zero bytes follow; linear, so a table for each of its four bytes is enough.
    private static uint[] ShiftTable(int zeroBytes)
    {
        uint[] table = new uint[4 * 256];
        for (int i = 0; i < table.Length; i++)
        {
            uint crc = (uint)(i % 256) << (8 * (i / 256));
            for (int z = 0; z < zeroBytes; z++) crc = BitOperations.Crc32C(crc, (byte)0);
            table[i] = crc;
        }

        return table;
    }

    private static uint Shift(uint[] table, uint crc)
    {
        ref uint first = ref MemoryMarshal.GetArrayDataReference(table);
        return Unsafe.Add(ref first, (int)(byte)crc)
            ^ Unsafe.Add(ref first, 256 + (byte)(crc >> 8))
            ^ Unsafe.Add(ref first, 512 + (byte)(crc >> 16))
            ^ Unsafe.Add(ref first, 768 + (int)(crc >> 24));
    }
}
