using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Columns;

// Readings chosen by their ramp codes.
internal partial struct ReadingRun
{
    /// <summary>Readings whose ramp code lies within a range.</summary>
    /// <param name="ramp">Place of the first scan's ramp code.</param>
    /// <param name="codes">Place of the first scan's reading.</param>
    /// <param name="from">First scan looked at, a multiple of 16.</param>
    /// <param name="to">One past the last, a multiple of 16.</param>
    /// <param name="low">Lowest ramp code.</param>
    /// <param name="more">Codes above it that belong to the range too.</param>
    /// <param name="full">Highest code.</param>
    /// <param name="last">Place of the last that was chosen.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ReadingRun OfChosen(ref ushort ramp, ref ushort codes, int from, int to, ushort low, ushort more, int full, out int last)
    {
        if (full > NarrowCode) return OfChosenWide(ref ramp, ref codes, from, to, low, more, out last);
        Choice choice = new(low, more);
        Vector256<uint> sum = default;
        Vector256<int> squares = default;
        for (nuint i = (nuint)from; i < (nuint)to;)
        {
            // So many codes of 12 bits fit 16.
            Vector256<ushort> some = default;
            for (nuint end = nuint.Min((nuint)to, i + NarrowSum); i < end; i += 16)
            {
                Vector256<ushort> next = choice.Of(ref ramp, ref codes, i, out _, out _);
                some += next;
                squares += Lanes.PairProducts(next.AsInt16(), next.AsInt16());
            }

            (Vector256<uint> lower, Vector256<uint> upper) = Vector256.Widen(some);
            sum += lower + upper;
        }

        ReadingRun run = choice.Close(ref ramp, ref codes, from, to, out last);
        if (run.Count > 0) Close(ref run, sum.AsInt32(), squares, to - from);
        return run;
    }

    /// <summary>As <see cref="OfChosen"/> among 64 scans of up to 12 bits, without a branch that would be guessed wrong.</summary>
    /// <param name="ramp">Place of the first scan's ramp code.</param>
    /// <param name="codes">Place of the first scan's reading.</param>
    /// <param name="low">Lowest ramp code.</param>
    /// <param name="more">Codes above it that belong to the range too.</param>
    /// <param name="last">Place of the last that was chosen.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static ReadingRun OfChosenInBlock(ref ushort ramp, ref ushort codes, ushort low, ushort more, out int last)
    {
        Vector256<ushort> less = Vector256.Create((ushort)-low), mores = Vector256.Create(more);
        Vector256<ushort> a = Chosen(ref ramp, 0, less, mores), b = Chosen(ref ramp, 16, less, mores), c = Chosen(ref ramp, 32, less, mores), d = Chosen(ref ramp, 48, less, mores);
        ulong bits = Lanes.Bits(a, b, c, d);
        Unsafe.SkipInit(out ReadingRun run);
        run.Count = BitOperations.PopCount(bits);
        last = 63 - BitOperations.LeadingZeroCount(bits);
        if (bits == 0) return run;
        run.Last = Unsafe.Add(ref codes, last);
        Vector256<ushort> first = a & Vector256.LoadUnsafe(ref codes), second = b & Vector256.LoadUnsafe(ref codes, 16), third = c & Vector256.LoadUnsafe(ref codes, 32), fourth = d & Vector256.LoadUnsafe(ref codes, 48);
        // All ones less a reading are its complement.
        Vector256<ushort> notLowest = Vector256.Max(Vector256.Max(a - first, b - second), Vector256.Max(c - third, d - fourth));
        run.Highest = ushort.MaxValue - Lanes.Lowest(~Vector256.Max(Vector256.Max(first, second), Vector256.Max(third, fourth)));
        run.Lowest = Lanes.Lowest(~notLowest);
        // Four codes of 12 bits fit 16.
        Vector256<int> sum = Lanes.PairProducts((first + second + (third + fourth)).AsInt16(), Vector256<short>.One);
        Close(ref run, sum, Squares(first) + Squares(second) + (Squares(third) + Squares(fourth)), ScanBlock.Scans);
        return run;

        static Vector256<int> Squares(Vector256<ushort> v) => Lanes.PairProducts(v.AsInt16(), v.AsInt16());
    }

    /// <summary>All ones where a ramp code lies within a range.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<ushort> Chosen(ref ushort ramp, nuint at, Vector256<ushort> less, Vector256<ushort> more)
    {
        Vector256<ushort> above = less + Vector256.LoadUnsafe(ref ramp, at);
        return Vector256.Equals(Vector256.Min(above, more), above);
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private static ReadingRun OfChosenWide(ref ushort ramp, ref ushort codes, int from, int to, ushort low, ushort more, out int last)
    {
        Choice choice = new(low, more);
        Wide wide = default;
        for (nuint i = (nuint)from; i < (nuint)to; i += 16)
        {
            choice.Of(ref ramp, ref codes, i, out Vector256<ushort> all, out Vector256<ushort> chosen);
            wide.Add(all, chosen);
        }

        ReadingRun run = choice.Close(ref ramp, ref codes, from, to, out last);
        if (run.Count > 0) wide.Close(ref run);
        return run;
    }

    /// <summary>What is to be known of chosen scans but for their sums.</summary>
    [StructLayout(LayoutKind.Auto)]
    private ref struct Choice
    {
        private readonly Vector256<ushort> _less;
        private readonly Vector256<ushort> _more;
        private Vector256<ushort> _highest;
        private Vector256<ushort> _notLowest;
        private Vector256<ushort> _counts;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Choice(ushort low, ushort more)
        {
            _less = Vector256.Create((ushort)-low);
            _more = Vector256.Create(more);
        }

        /// <summary>Readings of the next 16 scans, zero where they are not chosen.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Vector256<ushort> Of(ref ushort ramp, ref ushort codes, nuint at, out Vector256<ushort> all, out Vector256<ushort> chosen)
        {
            chosen = Chosen(ref ramp, at, _less, _more);
            all = Vector256.LoadUnsafe(ref codes, at);
            Vector256<ushort> some = chosen & all;
            _highest = Vector256.Max(_highest, some);
            // All ones less a reading are its complement.
            _notLowest = Vector256.Max(_notLowest, chosen - some);
            // All ones are -1.
            _counts -= chosen;
            return some;
        }

        /// <summary>All but the sums; of none, nothing but that.</summary>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public readonly ReadingRun Close(ref ushort ramp, ref ushort codes, int from, int to, out int last)
        {
            Unsafe.SkipInit(out ReadingRun run);
            run.Count = Vector256.Sum(_counts);
            last = from - 1;
            if (run.Count == 0) return run;
            // Seldom far from the end.
            uint bits;
            do
            {
                to -= 16;
                bits = Chosen(ref ramp, (nuint)to, _less, _more).ExtractMostSignificantBits();
            }
            while (bits == 0);
            last = to + BitOperations.Log2(bits);
            run.Last = Unsafe.Add(ref codes, last);
            run.Highest = Lanes.Highest(_highest);
            run.Lowest = ushort.MaxValue - Lanes.Highest(_notLowest);
            return run;
        }
    }
}
