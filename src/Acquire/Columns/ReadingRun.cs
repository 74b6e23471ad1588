using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;
using Acquire.Scales;

namespace Acquire.Columns;

/// <summary>What some readings of one vertical add to a column.</summary>
[StructLayout(LayoutKind.Auto)]
internal struct ReadingRun
{
    // Up to 14 bits four squares of a lane's pair fit 32 bits.
    private const int MostFullCode = (1 << 14) - 1;

    public int Count;
    public int Highest;
    public int Lowest;
    public int Last;
    public long Sum;
    public ulong Squares;

    /// <summary>Readings side by side.</summary>
    /// <param name="codes">Place of the first.</param>
    /// <param name="count">1 to 64; up to 16 more can be read behind the last.</param>
    /// <param name="full">Highest code.</param>
    public static ReadingRun Of(ref ushort codes, int count, int full)
    {
        if (count < 6 || full > MostFullCode) return OfFew(ref codes, count);
        ReadingRun run;
        run.Count = count;
        run.Last = Unsafe.Add(ref codes, count - 1);
        Vector256<ushort> highest = default, lowest = Vector256<ushort>.AllBitsSet;
        Vector256<int> sum = default, squares = default;
        for (int i = 0; i < count; i += 16)
        {
            Vector256<ushort> mask = Lanes.FirstLanes(Math.Min(16, count - i)), all = Vector256.LoadUnsafe(ref codes, (nuint)i), some = all & mask;
            highest = Vector256.Max(highest, some);
            lowest = Vector256.Min(lowest, all | ~mask);
            sum += Lanes.PairProducts(some.AsInt16(), Vector256<short>.One);
            squares += Lanes.PairProducts(some.AsInt16(), some.AsInt16());
        }

        run.Highest = Lanes.Highest(highest);
        run.Lowest = Lanes.Lowest(lowest);
        run.Sum = Vector256.Sum(sum);
        run.Squares = SumOf(squares);
        return run;
    }

    /// <summary>Readings of a block of 64 that masks choose, at least one.</summary>
    /// <param name="codes">Place of the first.</param>
    /// <param name="chosen">Masks of 16 readings each, and all as bits.</param>
    /// <param name="full">Highest code.</param>
    public static ReadingRun Of(ref ushort codes, in ChosenScans chosen, int full)
    {
        if (full > MostFullCode) return OfChosen(ref codes, chosen.Bits);
        ReadingRun run;
        run.Count = BitOperations.PopCount(chosen.Bits);
        run.Last = Unsafe.Add(ref codes, BitOperations.Log2(chosen.Bits));
        Vector256<ushort> a = Vector256.LoadUnsafe(ref codes), b = Vector256.LoadUnsafe(ref codes, 16), c = Vector256.LoadUnsafe(ref codes, 32), d = Vector256.LoadUnsafe(ref codes, 48);
        Vector256<ushort> lowest = Vector256.Min(Vector256.Min(a | ~chosen.A, b | ~chosen.B), Vector256.Min(c | ~chosen.C, d | ~chosen.D));
        a &= chosen.A;
        b &= chosen.B;
        c &= chosen.C;
        d &= chosen.D;
        Vector256<ushort> highest = Vector256.Max(Vector256.Max(a, b), Vector256.Max(c, d));
        Vector256<int> sum = Lanes.PairProducts((a + b).AsInt16(), Vector256<short>.One) + Lanes.PairProducts((c + d).AsInt16(), Vector256<short>.One);
        Vector256<int> squares = Lanes.PairProducts(a.AsInt16(), a.AsInt16()) + Lanes.PairProducts(b.AsInt16(), b.AsInt16()) +
                                 Lanes.PairProducts(c.AsInt16(), c.AsInt16()) + Lanes.PairProducts(d.AsInt16(), d.AsInt16());
        run.Highest = Lanes.Highest(highest);
        run.Lowest = Lanes.Lowest(lowest);
        run.Sum = Vector256.Sum(sum);
        run.Squares = SumOf(squares);
        return run;
    }

    /// <summary>Sum of a table's values for readings side by side.</summary>
    public static Int128 SumOf(DomainTable table, ref ushort codes, int count)
    {
        ReadOnlySpan<long> values = table.Values;
        long high = 0, low = 0;
        for (int i = 0; i < count; i++)
        {
            long value = values[Unsafe.Add(ref codes, i)];
            high += value >> 32;
            low += (uint)value;
        }

        return ((Int128)high << 32) + low;
    }

    /// <summary>Sum of a table's values for chosen readings.</summary>
    public static Int128 SumOf(DomainTable table, ref ushort codes, ulong bits)
    {
        ReadOnlySpan<long> values = table.Values;
        long high = 0, low = 0;
        for (; bits != 0; bits &= bits - 1)
        {
            long value = values[Unsafe.Add(ref codes, BitOperations.TrailingZeroCount(bits))];
            high += value >> 32;
            low += (uint)value;
        }

        return ((Int128)high << 32) + low;
    }

    private static ulong SumOf(Vector256<int> pairs)
    {
        Vector256<ulong> wide = pairs.AsUInt64();
        return Vector256.Sum((wide & Vector256.Create(0xFFFFFFFFul)) + (wide >>> 32));
    }

    private static ReadingRun OfFew(ref ushort codes, int count)
    {
        int code = codes;
        ReadingRun run = new() { Count = count, Highest = code, Lowest = code, Last = code, Sum = code, Squares = (ulong)((long)code * code) };
        for (int i = 1; i < count; i++) run.Add(Unsafe.Add(ref codes, i));
        return run;
    }

    private static ReadingRun OfChosen(ref ushort codes, ulong bits)
    {
        ReadingRun run = new() { Count = BitOperations.PopCount(bits), Lowest = ushort.MaxValue };
        for (; bits != 0; bits &= bits - 1) run.Add(Unsafe.Add(ref codes, BitOperations.TrailingZeroCount(bits)));
        return run;
    }

    private void Add(int code)
    {
        if (code > Highest) Highest = code;
        if (code < Lowest) Lowest = code;
        Last = code;
        Sum += code;
        Squares += (ulong)((long)code * code);
    }
}
