using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Acquire.Link;

/// <summary>Codes as they stand in a frame: 16 or 12 bits each, every byte masked.</summary>
/// <remarks>
/// Two codes of 12 bits share three bytes: low byte of the first; its high four bits below the low four of the second; high byte of the second.
/// The mask keeps the commonest codes, those near zero, from being zero bytes, which would make the stuffing short-winded.
/// </remarks>
internal static class PackedCodes
{
    /// <summary>Exclusive-or of every byte.</summary>
    public const byte Mask = 0xA5;

    private const ushort WordMask = Mask | (Mask << 8);

    /// <summary>Bytes that codes of 12 bits take.</summary>
    public static int BytesOf12(int codes) => ((codes * 3) + 1) / 2;

    /// <summary>Codes of 16 bits to bytes.</summary>
    public static void Write16(ReadOnlySpan<ushort> codes, Span<byte> bytes)
    {
        for (int i = 0; i < codes.Length; i++)
        {
            int word = codes[i] ^ WordMask;
            bytes[2 * i] = (byte)word;
            bytes[(2 * i) + 1] = (byte)(word >> 8);
        }
    }

    /// <summary>Codes of 12 bits to bytes; higher bits are cut off.</summary>
    public static void Write12(ReadOnlySpan<ushort> codes, Span<byte> bytes)
    {
        int at = 0;
        int i = 0;
        for (; i + 2 <= codes.Length; i += 2, at += 3)
        {
            int pair = (codes[i] & 0xFFF) | (codes[i + 1] << 12);
            bytes[at] = (byte)(pair ^ Mask);
            bytes[at + 1] = (byte)((pair >> 8) ^ Mask);
            bytes[at + 2] = (byte)((pair >> 16) ^ Mask);
        }

        if (i == codes.Length) return;
        bytes[at] = (byte)(codes[i] ^ Mask);
        bytes[at + 1] = (byte)(((codes[i] >> 8) & 0xF) ^ Mask);
    }

    /// <summary>Bytes to codes of 16 bits.</summary>
    public static void Read16(ReadOnlySpan<byte> bytes, Span<ushort> codes)
    {
        int i = 0;
        if (BitConverter.IsLittleEndian && bytes.Length >= 2 * codes.Length)
        {
            ref byte source = ref MemoryMarshal.GetReference(bytes);
            ref ushort target = ref MemoryMarshal.GetReference(codes);
            if (Vector512.IsHardwareAccelerated)
            {
                Vector512<ushort> wide = Vector512.Create(WordMask);
                for (; i <= codes.Length - Vector512<ushort>.Count; i += Vector512<ushort>.Count)
                    (Vector512.LoadUnsafe(ref source, (nuint)(2 * i)).AsUInt16() ^ wide).StoreUnsafe(ref target, (nuint)i);
            }

            var mask = new Vector<ushort>(WordMask);
            for (; i <= codes.Length - Vector<ushort>.Count; i += Vector<ushort>.Count)
                (Unsafe.ReadUnaligned<Vector<ushort>>(ref Unsafe.Add(ref source, 2 * i)) ^ mask).StoreUnsafe(ref target, (nuint)i);
        }

        Read16Scalar(bytes[(2 * i)..], codes[i..]);
    }

    /// <summary>The definition; what <see cref="Read16"/> is compared with.</summary>
    public static void Read16Scalar(ReadOnlySpan<byte> bytes, Span<ushort> codes)
    {
        for (int i = 0; i < codes.Length; i++) codes[i] = (ushort)((bytes[2 * i] | (bytes[(2 * i) + 1] << 8)) ^ WordMask);
    }

    /// <summary>Bytes to codes of 12 bits.</summary>
    public static void Read12(ReadOnlySpan<byte> bytes, Span<ushort> codes)
    {
        int i = 0;
        if (BitConverter.IsLittleEndian && (Ssse3.IsSupported || System.Runtime.Intrinsics.Arm.AdvSimd.Arm64.IsSupported) && bytes.Length >= BytesOf12(codes.Length))
            i = Avx512Vbmi.IsSupported ? Read12Widest(bytes, codes) : Avx2.IsSupported ? Read12Wide(bytes, codes) : Read12Narrow(bytes, codes);
        Read12Scalar(bytes[(i / 2 * 3)..], codes[i..]);
    }

    /// <summary>The definition; what <see cref="Read12"/> is compared with.</summary>
    public static void Read12Scalar(ReadOnlySpan<byte> bytes, Span<ushort> codes)
    {
        int at = 0;
        int i = 0;
        for (; i + 2 <= codes.Length; i += 2, at += 3)
        {
            int pair = bytes[at] | (bytes[at + 1] << 8) | (bytes[at + 2] << 16);
            pair ^= WordMask | (Mask << 16);
            codes[i] = (ushort)(pair & 0xFFF);
            codes[i + 1] = (ushort)(pair >> 12);
        }

        if (i < codes.Length) codes[i] = (ushort)(((bytes[at] | (bytes[at + 1] << 8)) ^ WordMask) & 0xFFF);
    }

    // Each lane of 16 bits gets the two bytes that hold its code. Even lanes are moved up by four bits, which pushes out those of the neighbour;
    // then all move down by four.
    private static Vector128<byte> Spread => Vector128.Create((byte)0, 1, 1, 2, 3, 4, 4, 5, 6, 7, 7, 8, 9, 10, 10, 11);

    private static readonly Vector512<byte> WidestSpread = SpreadOver(Vector512<byte>.Count);

    internal static int Read12Narrow(ReadOnlySpan<byte> bytes, Span<ushort> codes)
    {
        ref byte source = ref MemoryMarshal.GetReference(bytes);
        ref ushort target = ref MemoryMarshal.GetReference(codes);
        Vector128<byte> mask = Vector128.Create(Mask);
        Vector128<ushort> up = Vector128.Create(0x0001_0010u).AsUInt16();
        int i = 0;
        for (int at = 0; at <= bytes.Length - 16 && i <= codes.Length - 8; at += 12, i += 8)
        {
            Vector128<ushort> lanes = Vector128.ShuffleNative(Vector128.LoadUnsafe(ref source, (nuint)at) ^ mask, Spread).AsUInt16();
            ((lanes * up) >>> 4).StoreUnsafe(ref target, (nuint)i);
        }

        return i;
    }

    internal static int Read12Wide(ReadOnlySpan<byte> bytes, Span<ushort> codes)
    {
        ref byte source = ref MemoryMarshal.GetReference(bytes);
        ref ushort target = ref MemoryMarshal.GetReference(codes);
        Vector256<byte> mask = Vector256.Create(Mask);
        Vector256<byte> spread = Vector256.Create(Spread, Spread);
        Vector256<ushort> up = Vector256.Create(0x0001_0010u).AsUInt16();
        int i = 0;
        for (int at = 0; at <= bytes.Length - 28 && i <= codes.Length - 16; at += 24, i += 16)
        {
            Vector256<byte> piece = Vector256.Create(Vector128.LoadUnsafe(ref source, (nuint)at), Vector128.LoadUnsafe(ref source, (nuint)(at + 12)));
            Vector256<ushort> lanes = Avx2.Shuffle(piece ^ mask, spread).AsUInt16();
            ((lanes * up) >>> 4).StoreUnsafe(ref target, (nuint)i);
        }

        return i;
    }

    internal static int Read12Widest(ReadOnlySpan<byte> bytes, Span<ushort> codes)
    {
        ref byte source = ref MemoryMarshal.GetReference(bytes);
        ref ushort target = ref MemoryMarshal.GetReference(codes);
        Vector512<byte> mask = Vector512.Create(Mask);
        Vector512<byte> spread = WidestSpread;
        Vector512<ushort> up = Vector512.Create(0x0001_0010u).AsUInt16();
        int i = 0;
        for (int at = 0; at <= bytes.Length - 64 && i <= codes.Length - 32; at += 48, i += 32)
        {
            Vector512<ushort> lanes = Avx512Vbmi.PermuteVar64x8(Vector512.LoadUnsafe(ref source, (nuint)at) ^ mask, spread).AsUInt16();
            ((lanes * up) >>> 4).StoreUnsafe(ref target, (nuint)i);
        }

        int rest = i / 2 * 3;
        return i + Read12Wide(bytes[rest..], codes[i..]);
    }

    private static Vector512<byte> SpreadOver(int count)
    {
        Span<byte> indices = stackalloc byte[count];
        for (int lane = 0; lane < count / 2; lane++)
        {
            indices[2 * lane] = (byte)((lane / 2 * 3) + (lane % 2));
            indices[(2 * lane) + 1] = (byte)(indices[2 * lane] + 1);
        }

        return Vector512.Create<byte>(indices);
    }
}
