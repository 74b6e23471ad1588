using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;
using Acquire.Scales;

namespace Acquire.Columns;

/// <summary>What some readings of one vertical add to a column.</summary>
[StructLayout(LayoutKind.Auto)]
internal partial struct ReadingRun
{
    /// <summary>Highest code of 12 bits: up to it the squares of 1,024 readings fit 32 bits in each lane.</summary>
    public const int NarrowCode = (1 << 12) - 1;

    // And those of so many 32 bits together.
    private const int NarrowScans = 256;

    // Codes of 12 bits, one in each lane of so many scans, add up to no more than 16 bits.
    private const int NarrowSum = 16 * 16;

    // Readings to a vector of 256 bits.
    private const int Lane = 16;

    /// <summary>So few readings fit one vector of 128 bits.</summary>
    public const int Few = 8;

    public int Count;
    public int Highest;
    public int Lowest;
    public int Last;
    public long Sum;
    public ulong Squares;

    /// <summary>Readings side by side.</summary>
    /// <param name="codes">Place of the first.</param>
    /// <param name="count">1 to 1,024; up to 16 more can be read behind the last.</param>
    /// <param name="full">Highest code.</param>
    public static ReadingRun Of(ref ushort codes, int count, int full) => full <= NarrowCode ? OfNarrow(ref codes, count) : OfWide(ref codes, count);

    /// <summary>Readings side by side of up to 12 bits; as <see cref="Of"/>, without a call.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ReadingRun OfNarrow(ref ushort codes, int count) =>
        count <= 2 ? OfTwo(ref codes, count) : count <= Few ? OfFew(ref codes, count) : OfMany(ref codes, count);

    /// <summary>Sums of the lanes of sums and squares of some scans.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Close(ref ReadingRun run, Vector256<int> sum, Vector256<int> squares, int scans)
    {
        if (scans <= NarrowScans)
        {
            (int ofCodes, int ofSquares) = Lanes.SumsOf(sum, squares);
            run.Sum = ofCodes;
            run.Squares = (uint)ofSquares;
            return;
        }

        run.Sum = Vector256.Sum(sum);
        run.Squares = (ulong)Lanes.SumOfPositive(squares);
    }

    /// <summary>Sum of a table's values for readings side by side.</summary>
    public static Int128 SumOf(DomainTable table, ref ushort codes, int count)
    {
        // None of the codes is beyond the table's.
        ref long values = ref MemoryMarshal.GetReference(table.Values);
        long high = 0, otherHigh = 0, all = 0, otherAll = 0;
        int i = 0;
        for (; i <= count - 4; i += 4)
        {
            long a = At(ref values, ref codes, i), b = At(ref values, ref codes, i + 1), c = At(ref values, ref codes, i + 2), d = At(ref values, ref codes, i + 3);
            all = unchecked(all + a + b);
            otherAll = unchecked(otherAll + c + d);
            high += (a >> 32) + (b >> 32);
            otherHigh += (c >> 32) + (d >> 32);
        }

        for (; i < count; i++)
        {
            long value = At(ref values, ref codes, i);
            all = unchecked(all + value);
            high += value >> 32;
        }

        // The lower halves add up to no more than 64 bits: they are what the sum of all is above that of the upper halves.
        high += otherHigh;
        return ((Int128)high << 32) + unchecked((ulong)(all + otherAll - (high << 32)));

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        static long At(ref long values, ref ushort codes, int place) => Unsafe.Add(ref values, (nuint)Unsafe.Add(ref codes, place));
    }

    /// <summary>Whether there are as many readings as <see cref="OfSome"/> takes.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static bool AreSome(int count) => (uint)(count - Lane - 1) < NarrowSum - Lane;

    /// <summary>As <see cref="OfNarrow"/>, of 17 to 256 readings.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ReadingRun OfSome(ref ushort codes, int count)
    {
        Vector256<ushort> all = Vector256.LoadUnsafe(ref codes), highest = all, lowest = all, sum = all;
        Vector256<int> squares = Lanes.PairProducts(all.AsInt16(), all.AsInt16());
        nuint last = (nuint)(count - Lane);
        for (nuint i = Lane; i < last; i += Lane)
        {
            all = Vector256.LoadUnsafe(ref codes, i);
            highest = Vector256.Max(highest, all);
            lowest = Vector256.Min(lowest, all);
            sum += all;
            squares += Lanes.PairProducts(all.AsInt16(), all.AsInt16());
        }

        // The last 16, some of which were taken already: that shows in the sums alone.
        all = Vector256.LoadUnsafe(ref codes, last);
        Vector256<ushort> some = all & Lanes.LanesFrom(-count & (Lane - 1));
        Vector256<uint> pairs = (sum + some).AsUInt32();
        pairs = (pairs & Vector256.Create((uint)ushort.MaxValue)) + (pairs >>> 16);
        (int ofCodes, int ofSquares) = Lanes.SumsOf(pairs.AsInt32(), squares + Lanes.PairProducts(some.AsInt16(), some.AsInt16()));
        Unsafe.SkipInit(out ReadingRun run);
        run.Count = count;
        run.Last = Unsafe.Add(ref codes, count - 1);
        run.Highest = ushort.MaxValue - Lanes.Lowest(~Vector256.Max(highest, all));
        run.Lowest = Lanes.Lowest(Vector256.Min(lowest, all));
        run.Sum = ofCodes;
        run.Squares = (uint)ofSquares;
        return run;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ReadingRun OfMany(ref ushort codes, int count)
    {
        Vector256<ushort> highest = default, lowest = Vector256<ushort>.AllBitsSet;
        Vector256<int> sum = default, squares = default;
        int i = 0;
        for (; i + 16 <= count; i += 16)
        {
            Vector256<ushort> all = Vector256.LoadUnsafe(ref codes, (nuint)i);
            highest = Vector256.Max(highest, all);
            lowest = Vector256.Min(lowest, all);
            sum += Lanes.PairProducts(all.AsInt16(), Vector256<short>.One);
            squares += Lanes.PairProducts(all.AsInt16(), all.AsInt16());
        }

        if (i < count)
        {
            Vector256<ushort> mask = Lanes.FirstLanes(count - i), all = Vector256.LoadUnsafe(ref codes, (nuint)i), some = all & mask;
            highest = Vector256.Max(highest, some);
            lowest = Vector256.Min(lowest, all | ~mask);
            sum += Lanes.PairProducts(some.AsInt16(), Vector256<short>.One);
            squares += Lanes.PairProducts(some.AsInt16(), some.AsInt16());
        }

        Unsafe.SkipInit(out ReadingRun run);
        run.Count = count;
        run.Last = Unsafe.Add(ref codes, count - 1);
        run.Highest = Lanes.Highest(highest);
        run.Lowest = Lanes.Lowest(lowest);
        Close(ref run, sum, squares, count);
        return run;
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private static ReadingRun OfWide(ref ushort codes, int count)
    {
        if (count <= 2) return OfTwo(ref codes, count);
        if (count <= Few) return OfFewWide(ref codes, count);
        Vector256<ushort> highest = default, lowest = Vector256<ushort>.AllBitsSet;
        Wide wide = default;
        for (int i = 0; i < count; i += 16)
        {
            Vector256<ushort> mask = Lanes.FirstLanes(Math.Min(16, count - i)), all = Vector256.LoadUnsafe(ref codes, (nuint)i);
            highest = Vector256.Max(highest, all & mask);
            lowest = Vector256.Min(lowest, all | ~mask);
            wide.Add(all, mask);
        }

        Unsafe.SkipInit(out ReadingRun run);
        run.Count = count;
        run.Last = Unsafe.Add(ref codes, count - 1);
        run.Highest = Lanes.Highest(highest);
        run.Lowest = Lanes.Lowest(lowest);
        wide.Close(ref run);
        return run;
    }

    /// <summary>One reading or two.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ReadingRun OfTwo(ref ushort codes, int count)
    {
        int second = count - 1, a = codes, b = Unsafe.Add(ref codes, second);
        Unsafe.SkipInit(out ReadingRun run);
        run.Count = count;
        run.Last = b;
        run.Highest = Lanes.More(a, b);
        run.Lowest = Lanes.Less(a, b);
        run.Sum = a + (b * second);
        run.Squares = ((ulong)((uint)a * (uint)a)) + ((uint)b * (uint)b * (ulong)second);
        return run;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ReadingRun OfFew(ref ushort codes, int count)
    {
        Vector128<ushort> mask = Lanes.FirstFewLanes(count), all = Vector128.LoadUnsafe(ref codes), some = all & mask;
        (int sum, uint squares) = Lanes.SumAndSquares(some.AsInt16());
        Unsafe.SkipInit(out ReadingRun run);
        run.Count = count;
        run.Last = Unsafe.Add(ref codes, count - 1);
        run.Highest = Lanes.Highest(some);
        run.Lowest = Lanes.Lowest(all | ~mask);
        run.Sum = sum;
        run.Squares = squares;
        return run;
    }

    private static ReadingRun OfFewWide(ref ushort codes, int count)
    {
        int code = codes;
        ReadingRun run = new() { Count = count, Highest = code, Lowest = code, Last = code, Sum = code, Squares = (ulong)((long)code * code) };
        for (int i = 1; i < count; i++)
        {
            code = Unsafe.Add(ref codes, i);
            run.Highest = Lanes.More(run.Highest, code);
            run.Lowest = Lanes.Less(run.Lowest, code);
            run.Sum += code;
            run.Squares += (ulong)((long)code * code);
        }

        run.Last = code;
        return run;
    }

    /// <summary>Sums of codes of up to 16 bits: of what they are above the middle, whose products in pairs fit 32 bits.</summary>
    [StructLayout(LayoutKind.Auto)]
    private struct Wide
    {
        private const int Middle = 1 << 15;
        private Vector256<int> _sum;
        private Vector256<ulong> _squares;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public void Add(Vector256<ushort> all, Vector256<ushort> chosen)
        {
            Vector256<short> above = ((all ^ Vector256.Create((ushort)Middle)) & chosen).AsInt16();
            _sum += Lanes.PairProducts(above, Vector256<short>.One);
            // Two squares of -32,768 are 2^31: the pairs are taken without a sign.
            Vector256<ulong> pairs = Lanes.PairProducts(above, above).AsUInt64();
            _squares += (pairs & Vector256.Create(0xFFFFFFFFul)) + (pairs >>> 32);
        }

        public readonly void Close(ref ReadingRun run)
        {
            long n = run.Count, sum = Vector256.Sum(_sum);
            run.Sum = sum + (n * Middle);
            run.Squares = Vector256.Sum(_squares) + (ulong)((2 * Middle * sum) + (n * Middle * Middle));
        }
    }
}
