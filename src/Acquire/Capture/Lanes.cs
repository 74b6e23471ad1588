using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.Arm;
using System.Runtime.Intrinsics.X86;

namespace Acquire.Capture;

/// <summary>What the portable vectors lack: products of neighbours, and one value from all lanes.</summary>
internal static class Lanes
{
    // Words that come from memory at once.
    private const int LineWords = 32;

    /// <summary>Words are about to be needed: asks for them early, where the processor can be asked.</summary>
    /// <param name="near">A word.</param>
    /// <param name="ahead">Words from it to the first needed, or to where that may be.</param>
    /// <param name="words">How many; there may be fewer.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static unsafe void Fetch(ref ushort near, int ahead, int words)
    {
        if (!Sse.IsSupported) return;
        // Addresses only: nothing is read, so there may be nothing any more, or something else.
        ushort* at = (ushort*)Unsafe.AsPointer(ref near) + ahead;
        for (int i = 0; i < words; i += LineWords) Sse.Prefetch0(at + i);
    }

    /// <summary>Copies a multiple of 16 words, few of them: what a call would cost shows.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static void Copy(ref ushort from, ref ushort to, int words)
    {
        for (nuint i = 0; i < (nuint)words; i += 16) Vector256.LoadUnsafe(ref from, i).StoreUnsafe(ref to, i);
    }

    /// <summary>Sums of the products of two neighbouring lanes each.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<int> PairProducts(Vector256<short> a, Vector256<short> b)
    {
        if (Avx2.IsSupported) return Avx2.MultiplyAddAdjacent(a, b);
        if (Sse2.IsSupported)
            return Vector256.Create(Sse2.MultiplyAddAdjacent(a.GetLower(), b.GetLower()), Sse2.MultiplyAddAdjacent(a.GetUpper(), b.GetUpper()));
        // Which lanes are added does not matter: whoever asks adds them all in the end.
        return (Vector256.WidenLower(a) * Vector256.WidenLower(b)) + (Vector256.WidenUpper(a) * Vector256.WidenUpper(b));
    }

    /// <summary>Two vectors of words that fit 16 bits, as one.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<ushort> Narrow(Vector256<uint> a, Vector256<uint> b) => Avx2.IsSupported
        ? Avx2.Permute4x64(Avx2.PackUnsignedSaturate(a.AsInt32(), b.AsInt32()).AsUInt64(), 0b11_01_10_00).AsUInt16()
        : Vector256.Narrow(a, b);

    /// <summary>In each lane the lowest of it and those before it.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<ushort> LowestSoFar(Vector256<ushort> v)
    {
        // The highest so far of the complements: a shuffle leaves zeros where there is no lane before.
        Vector128<ushort> first = HighestSoFar(~v.GetLower()), second = HighestSoFar(~v.GetUpper());
        return ~Vector256.Create(first, Vector128.Max(second, Vector128.Create(first[7])));
    }

    /// <summary>Difference, or the nearest that 16 bits can hold.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<short> Difference(Vector256<short> a, Vector256<short> b) => Vector256.SubtractSaturate(a, b);

    /// <summary>How far a number lies from zero, without a branch that would be guessed wrong.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static long Size(long v) => (v ^ (v >> 63)) - (v >> 63);

    /// <summary>As <see cref="Size(long)"/>.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int Size(int v) => (v ^ (v >> 31)) - (v >> 31);

    /// <summary>The larger of two numbers of up to 31 bits, without a branch that would be guessed wrong.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int More(int a, int b) => a - ((a - b) & ((a - b) >> 31));

    /// <summary>The smaller of two numbers of up to 31 bits, without a branch that would be guessed wrong.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int Less(int a, int b) => b + ((a - b) & ((a - b) >> 31));

    /// <summary>All ones in the first <paramref name="count"/> lanes, 0 to 16.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<ushort> FirstLanes(int count) => Vector256.LessThan(Vector256<short>.Indices, Vector256.Create((short)count)).AsUInt16();

    /// <summary>All ones in the first <paramref name="count"/> lanes, 0 to 8.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<ushort> FirstFewLanes(int count) => Vector128.LessThan(Vector128<short>.Indices, Vector128.Create((short)count)).AsUInt16();

    /// <summary>All ones but in the first <paramref name="count"/> lanes, 0 to 16.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<ushort> LanesFrom(int count) =>
        Vector256.GreaterThan(Vector256<short>.Indices + Vector256<short>.One, Vector256.Create((short)count)).AsUInt16();

    /// <summary>In each lane the sum of the products of a pair of lanes, in their order.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<int> ProductsOfPairs(Vector256<short> a, Vector256<short> b)
    {
        if (Sse2.IsSupported) return PairProducts(a, b);
        Vector256<int> x = a.AsInt32(), y = b.AsInt32();
        return ((x << 16 >> 16) * (y << 16 >> 16)) + ((x >> 16) * (y >> 16));
    }

    /// <summary>The first of each pair of lanes, and the second.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector128<ushort> First, Vector128<ushort> Second) Unpair(Vector256<ushort> v)
    {
        Vector256<byte> halves = Vector256.Shuffle(v.AsByte(), Vector256.Create(
            (byte)0, 1, 4, 5, 8, 9, 12, 13, 2, 3, 6, 7, 10, 11, 14, 15, 16, 17, 20, 21, 24, 25, 28, 29, 18, 19, 22, 23, 26, 27, 30, 31));
        Vector256<ushort> sorted = Vector256.Shuffle(halves.AsUInt64(), Vector256.Create(0ul, 2, 1, 3)).AsUInt16();
        return (sorted.GetLower(), sorted.GetUpper());
    }

    /// <summary>Lanes of two vectors by turns, as lanes of twice the width, that of the first the lower half.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector256<uint> Lower, Vector256<uint> Upper) Interleave(Vector256<ushort> first, Vector256<ushort> second)
    {
        if (!Avx2.IsSupported) return (Vector256.WidenLower(first) | (Vector256.WidenLower(second) << 16), Vector256.WidenUpper(first) | (Vector256.WidenUpper(second) << 16));
        Vector256<ushort> outer = Avx2.UnpackLow(first, second), inner = Avx2.UnpackHigh(first, second);
        return (Avx2.Permute2x128(outer, inner, 0x20).AsUInt32(), Avx2.Permute2x128(outer, inner, 0x31).AsUInt32());
    }

    /// <summary>Lanes of two vectors by turns, as lanes of twice the width, that of the first the lower half.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (Vector256<ulong> Lower, Vector256<ulong> Upper) Interleave(Vector256<uint> first, Vector256<uint> second)
    {
        if (!Avx2.IsSupported) return (Vector256.WidenLower(first) | (Vector256.WidenLower(second) << 32), Vector256.WidenUpper(first) | (Vector256.WidenUpper(second) << 32));
        Vector256<uint> outer = Avx2.UnpackLow(first, second), inner = Avx2.UnpackHigh(first, second);
        return (Avx2.Permute2x128(outer, inner, 0x20).AsUInt64(), Avx2.Permute2x128(outer, inner, 0x31).AsUInt64());
    }

    /// <summary>Sum of all lanes, none of them negative.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static long SumOfPositive(Vector256<int> v)
    {
        Vector256<ulong> pairs = v.AsUInt64();
        return (long)Vector256.Sum((pairs & Vector256.Create(0xFFFFFFFFul)) + (pairs >>> 32));
    }

    /// <summary>Sum of eight lanes of up to 12 bits and the sum of their squares.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (int Sum, uint Squares) SumAndSquares(Vector128<short> v)
    {
        Vector128<int> sums, squares;
        if (Sse2.IsSupported)
            (sums, squares) = (Sse2.MultiplyAddAdjacent(v, Vector128<short>.One), Sse2.MultiplyAddAdjacent(v, v));
        else
        {
            (Vector128<int> low, Vector128<int> high) = Vector128.Widen(v);
            (sums, squares) = (low + high, (low * low) + (high * high));
        }

        (int sum, int square) = SumsOf(sums, squares);
        return (sum, (uint)square);
    }

    /// <summary>Sum of the lanes of each of two vectors.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (int First, int Second) SumsOf(Vector256<int> first, Vector256<int> second) =>
        SumsOf(first.GetLower() + first.GetUpper(), second.GetLower() + second.GetUpper());

    /// <summary>Sum of the lanes of each of two vectors.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static (int First, int Second) SumsOf(Vector128<int> first, Vector128<int> second)
    {
        if (!Sse2.IsSupported) return (Vector128.Sum(first), Vector128.Sum(second));
        Vector128<int> both = Sse2.UnpackLow(first, second) + Sse2.UnpackHigh(first, second);
        both += Sse2.Shuffle(both, 0b_01_00_11_10);
        long sums = both.AsInt64().ToScalar();
        return ((int)sums, (int)(sums >> 32));
    }

    /// <summary>Sum of the lanes of each of four vectors.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<int> SumsOf(Vector256<int> a, Vector256<int> b, Vector256<int> c, Vector256<int> d)
    {
        if (!Avx2.IsSupported) return Vector128.Create(Vector256.Sum(a), Vector256.Sum(b), Vector256.Sum(c), Vector256.Sum(d));
        Vector256<int> sums = Avx2.HorizontalAdd(Avx2.HorizontalAdd(a, b), Avx2.HorizontalAdd(c, d));
        return sums.GetLower() + sums.GetUpper();
    }

    /// <summary>Highest lane of each of four vectors.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<int> HighestOf(Vector256<short> a, Vector256<short> b, Vector256<short> c, Vector256<short> d) => Vector128.WidenLower(FourHighest(a, b, c, d));

    /// <summary>Highest lane of each of four vectors, in the first four lanes.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector128<short> FourHighest(Vector256<short> a, Vector256<short> b, Vector256<short> c, Vector256<short> d)
    {
        if (!Avx2.IsSupported) return Vector128.Create((short)Highest(a), (short)Highest(b), (short)Highest(c), (short)Highest(d), 0, 0, 0, 0);
        Vector256<int> first = Vector256.Max(Avx2.UnpackLow(a, b), Avx2.UnpackHigh(a, b)).AsInt32(), second = Vector256.Max(Avx2.UnpackLow(c, d), Avx2.UnpackHigh(c, d)).AsInt32();
        Vector256<short> all = Vector256.Max(Avx2.UnpackLow(first, second).AsInt16(), Avx2.UnpackHigh(first, second).AsInt16());
        Vector128<short> half = Vector128.Max(all.GetLower(), all.GetUpper());
        return Vector128.Max(half, Sse2.Shuffle(half.AsInt32(), 0b_01_00_11_10).AsInt16());
    }

    /// <summary>Whole numbers of 32 bits as doubles.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<double> Doubles(Vector128<int> v) => Avx.IsSupported
        ? Avx.ConvertToVector256Double(v)
        : Vector256.Create(Vector128.ConvertToDouble(Vector128.WidenLower(v)), Vector128.ConvertToDouble(Vector128.WidenUpper(v)));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int Highest(Vector256<ushort> v) => Highest(Vector128.Max(v.GetLower(), v.GetUpper()));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int Lowest(Vector256<ushort> v) => Lowest(Vector128.Min(v.GetLower(), v.GetUpper()));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int Highest(Vector256<short> v) => Highest((v ^ Vector256.Create(short.MinValue)).AsUInt16()) - 32_768;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int Lowest(Vector256<short> v) => Lowest((v ^ Vector256.Create(short.MinValue)).AsUInt16()) - 32_768;

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int Highest(Vector128<ushort> v) => Sse41.IsSupported ? (ushort)~Sse41.MinHorizontal(~v).ToScalar() : Fold(v, highest: true);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static int Lowest(Vector128<ushort> v) => Sse41.IsSupported ? Sse41.MinHorizontal(v).ToScalar() : Fold(v, highest: false);

    /// <summary>Bits of the lanes of four masks, the first lane the lowest bit.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ulong Bits(Vector256<ushort> a, Vector256<ushort> b, Vector256<ushort> c, Vector256<ushort> d) =>
        NarrowMasks(a, b).ExtractMostSignificantBits() | ((ulong)NarrowMasks(c, d).ExtractMostSignificantBits() << 32);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<byte> NarrowMasks(Vector256<ushort> a, Vector256<ushort> b) => Avx2.IsSupported
        ? Avx2.Permute4x64(Avx2.PackSignedSaturate(a.AsInt16(), b.AsInt16()).AsUInt64(), 0b11_01_10_00).AsByte()
        : Vector256.Narrow(a, b);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector128<ushort> HighestSoFar(Vector128<ushort> v)
    {
        const ushort None = ushort.MaxValue;
        v = Vector128.Max(v, Vector128.Shuffle(v, Vector128.Create(None, 0, 1, 2, 3, 4, 5, 6)));
        v = Vector128.Max(v, Vector128.Shuffle(v, Vector128.Create(None, None, 0, 1, 2, 3, 4, 5)));
        return Vector128.Max(v, Vector128.Shuffle(v, Vector128.Create(None, None, None, None, 0, 1, 2, 3)));
    }

    private static int Fold(Vector128<ushort> v, bool highest)
    {
        if (AdvSimd.Arm64.IsSupported) return (highest ? AdvSimd.Arm64.MaxAcross(v) : AdvSimd.Arm64.MinAcross(v)).ToScalar();
        int value = v[0];
        for (int i = 1; i < Vector128<ushort>.Count; i++) value = highest ? Math.Max(value, v[i]) : Math.Min(value, v[i]);
        return value;
    }
}
