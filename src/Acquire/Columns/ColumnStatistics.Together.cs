using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Columns;

/// <content>What enters several columns at a time.</content>
public sealed partial class ColumnStatistics
{
    // Columns that are added to at a time.
    private const int Together = 8;

    // From eight less some on: two for so many columns, none for the others.
    private static ReadOnlySpan<long> Twos => [2, 2, 2, 2, 2, 2, 2, 2, 0, 0, 0, 0, 0, 0, 0, 0];

    private readonly ref partial struct Unchecked
    {
        /// <summary>Adds two readings of up to 12 bits each to the first of eight columns.</summary>
        /// <param name="column">The first.</param>
        /// <param name="codes">Readings.</param>
        /// <param name="columns">How many get some, 1 to 8; the others stay as they are.</param>
        /// <returns>Whether they were added: not where sums of squares might pass 64 bits.</returns>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public bool TryAddPairs(nuint column, Vector256<ushort> codes, int columns)
        {
            Vector256<long> lower = Vector256.LoadUnsafe(ref _counts, column), upper = Vector256.LoadUnsafe(ref _counts, column + 4);
            if (MightCarry(lower | upper)) return false;
            ref long counts = ref Unsafe.Add(ref MemoryMarshal.GetReference(Twos), Together - columns);
            (lower + Vector256.LoadUnsafe(ref counts)).StoreUnsafe(ref _counts, column);
            (upper + Vector256.LoadUnsafe(ref counts, 4)).StoreUnsafe(ref _counts, column + 4);

            codes &= Vector256.GreaterThan(Vector256.Create(columns), Vector256<int>.Indices).AsUInt16();
            (Vector128<ushort> first, Vector128<ushort> second) = Lanes.Unpair(codes);
            Vector128<ushort> those = Lanes.FirstFewLanes(columns);
            Vector128.Max(Vector128.Max(first, second), Vector128.LoadUnsafe(ref _highest, column)).StoreUnsafe(ref _highest, column);
            Vector128.Min(Vector128.Min(first, second) | ~those, Vector128.LoadUnsafe(ref _lowest, column)).StoreUnsafe(ref _lowest, column);
            Vector128.ConditionalSelect(those, second, Vector128.LoadUnsafe(ref _last, column)).StoreUnsafe(ref _last, column);

            Vector256<uint> sums = Lanes.ProductsOfPairs(codes.AsInt16(), Vector256<short>.One).AsUInt32();
            AddSums(column, Vector256.WidenLower(sums).AsInt64(), Vector256.WidenUpper(sums).AsInt64());
            Vector256<uint> squares = Lanes.ProductsOfPairs(codes.AsInt16(), codes.AsInt16()).AsUInt32();
            ref ulong to = ref Unsafe.As<UInt128, ulong>(ref Unsafe.Add(ref _squares, column));
            AddSquares(ref to, 0, Vector256.Shuffle(squares, Vector256.Create(0u, 8, 8, 8, 1, 8, 8, 8)).AsUInt64());
            AddSquares(ref to, 4, Vector256.Shuffle(squares, Vector256.Create(2u, 8, 8, 8, 3, 8, 8, 8)).AsUInt64());
            AddSquares(ref to, 8, Vector256.Shuffle(squares, Vector256.Create(4u, 8, 8, 8, 5, 8, 8, 8)).AsUInt64());
            AddSquares(ref to, 12, Vector256.Shuffle(squares, Vector256.Create(6u, 8, 8, 8, 7, 8, 8, 8)).AsUInt64());
            return true;
        }

        /// <summary>Adds 17 to 32 readings of up to 12 bits each to four columns.</summary>
        /// <param name="column">The first.</param>
        /// <param name="codes">Place 0 of the readings.</param>
        /// <param name="from">Place of the first.</param>
        /// <param name="ends">One past the place of the last of each column.</param>
        /// <returns>Whether they were added: not where one gets fewer or more, nor where sums of squares might pass 64 bits.</returns>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public bool TryAddFour(nuint column, ref ushort codes, int from, ref int ends)
        {
            const int Fewest = 17;
            int a = ends, b = Unsafe.Add(ref ends, 1), c = Unsafe.Add(ref ends, 2), d = Unsafe.Add(ref ends, 3);
            // Each within the 16 numbers from the fewest on.
            if ((((a - from - Fewest) | (b - a - Fewest) | (c - b - Fewest) | (d - c - Fewest)) & ~15) != 0) return false;
            Vector256<long> before = Vector256.LoadUnsafe(ref _counts, column);
            if (MightCarry(before)) return false;
            Two(ref codes, from, a, out Vector256<ushort> highA, out Vector256<ushort> lowA, out Vector256<int> sumA, out Vector256<int> squaresA);
            Two(ref codes, a, b, out Vector256<ushort> highB, out Vector256<ushort> lowB, out Vector256<int> sumB, out Vector256<int> squaresB);
            Two(ref codes, b, c, out Vector256<ushort> highC, out Vector256<ushort> lowC, out Vector256<int> sumC, out Vector256<int> squaresC);
            Two(ref codes, c, d, out Vector256<ushort> highD, out Vector256<ushort> lowD, out Vector256<int> sumD, out Vector256<int> squaresD);
            (before + Vector256.Create((long)(a - from), b - a, c - b, d - c)).StoreUnsafe(ref _counts, column);
            (Vector256.WidenLower(Lanes.SumsOf(sumA, sumB, sumC, sumD).ToVector256()) + Vector256.LoadUnsafe(ref _sums, column)).StoreUnsafe(ref _sums, column);
            Vector256<uint> squares = Lanes.SumsOf(squaresA, squaresB, squaresC, squaresD).ToVector256().AsUInt32();
            ref ulong to = ref Unsafe.As<UInt128, ulong>(ref Unsafe.Add(ref _squares, column));
            AddSquares(ref to, 0, Vector256.Shuffle(squares, Vector256.Create(0u, 8, 8, 8, 1, 8, 8, 8)).AsUInt64());
            AddSquares(ref to, 4, Vector256.Shuffle(squares, Vector256.Create(2u, 8, 8, 8, 3, 8, 8, 8)).AsUInt64());

            // The highest complement is that of the lowest.
            Vector128<ushort> highest = Lanes.FourHighest(highA.AsInt16(), highB.AsInt16(), highC.AsInt16(), highD.AsInt16()).AsUInt16();
            Vector128<ushort> lowest = (~Lanes.FourHighest((~lowA).AsInt16(), (~lowB).AsInt16(), (~lowC).AsInt16(), (~lowD).AsInt16())).AsUInt16();
            ref ulong highs = ref Unsafe.As<ushort, ulong>(ref Unsafe.Add(ref _highest, column)), lows = ref Unsafe.As<ushort, ulong>(ref Unsafe.Add(ref _lowest, column));
            Unsafe.WriteUnaligned(ref Unsafe.As<ulong, byte>(ref highs), Vector128.Max(highest, Four(ref highs)).AsUInt64().ToScalar());
            Unsafe.WriteUnaligned(ref Unsafe.As<ulong, byte>(ref lows), Vector128.Min(lowest, Four(ref lows)).AsUInt64().ToScalar());
            ref ushort last = ref Unsafe.Add(ref _last, column);
            last = Unsafe.Add(ref codes, a - 1);
            Unsafe.Add(ref last, 1) = Unsafe.Add(ref codes, b - 1);
            Unsafe.Add(ref last, 2) = Unsafe.Add(ref codes, c - 1);
            Unsafe.Add(ref last, 3) = Unsafe.Add(ref codes, d - 1);
            return true;

            [MethodImpl(MethodImplOptions.AggressiveInlining)]
            static Vector128<ushort> Four(ref ulong at) => Vector128.CreateScalar(Unsafe.ReadUnaligned<ulong>(ref Unsafe.As<ulong, byte>(ref at))).AsUInt16();
        }

        // The last 16 readings overlap the first: only sums need a mask.
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        private static void Two(ref ushort codes, int from, int end, out Vector256<ushort> highest, out Vector256<ushort> lowest, out Vector256<int> sum, out Vector256<int> squares)
        {
            Vector256<ushort> first = Vector256.LoadUnsafe(ref codes, (nuint)from), last = Vector256.LoadUnsafe(ref codes, (nuint)(end - 16));
            highest = Vector256.Max(first, last);
            lowest = Vector256.Min(first, last);
            last &= ~Lanes.FirstLanes(32 - (end - from));
            sum = Lanes.PairProducts(first.AsInt16(), Vector256<short>.One) + Lanes.PairProducts(last.AsInt16(), Vector256<short>.One);
            squares = Lanes.PairProducts(first.AsInt16(), first.AsInt16()) + Lanes.PairProducts(last.AsInt16(), last.AsInt16());
        }

        /// <summary>Adds packed sums, and the highest codes with the highest complements, of eight columns; those of none change nothing.</summary>
        /// <returns>Whether they were added: not where sums of squares might pass 64 bits.</returns>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public bool TryAddPacked(nuint column, ref ulong sums)
        {
            Vector256<ulong> lower = Vector256.LoadUnsafe(ref sums, column), upper = Vector256.LoadUnsafe(ref sums, column + 4);
            Vector256<long> before = Vector256.LoadUnsafe(ref _counts, column), behind = Vector256.LoadUnsafe(ref _counts, column + 4);
            if (MightCarry(before | behind)) return false;
            (before + PackedScan.Count(lower)).StoreUnsafe(ref _counts, column);
            (behind + PackedScan.Count(upper)).StoreUnsafe(ref _counts, column + 4);
            (Vector128<ushort> highest, Vector128<ushort> notLowest) = Lanes.Unpair(PackedScan.Extremes(ref sums, column));
            Vector128.Max(highest, Vector128.LoadUnsafe(ref _highest, column)).StoreUnsafe(ref _highest, column);
            Vector128.Min(~notLowest, Vector128.LoadUnsafe(ref _lowest, column)).StoreUnsafe(ref _lowest, column);
            AddSums(column, PackedScan.Sum(lower), PackedScan.Sum(upper));
            ref ulong to = ref Unsafe.As<UInt128, ulong>(ref Unsafe.Add(ref _squares, column));
            AddSquares(ref to, 0, PackedScan.FirstSquares(lower));
            AddSquares(ref to, 4, PackedScan.SecondSquares(lower));
            AddSquares(ref to, 8, PackedScan.FirstSquares(upper));
            AddSquares(ref to, 12, PackedScan.SecondSquares(upper));
            return true;
        }

        /// <summary>Adds packed sums of one column as <see cref="TryAddPacked"/> does.</summary>
        public void AddPacked(nuint column, ref ulong sums)
        {
            ulong packed = Unsafe.Add(ref sums, column);
            uint extremes = PackedScan.Extreme(ref sums, column);
            Unsafe.Add(ref _counts, column) += PackedScan.Count(packed);
            ref ushort highest = ref Unsafe.Add(ref _highest, column), lowest = ref Unsafe.Add(ref _lowest, column);
            highest = Math.Max(highest, (ushort)extremes);
            lowest = Math.Min(lowest, (ushort)~(extremes >> 16));
            Unsafe.Add(ref _sums, column) += PackedScan.Sum(packed);
            Unsafe.Add(ref _squares, column) += PackedScan.Squares(packed);
        }

        /// <summary>Whether a sum of squares may pass 64 bits: those of so many codes of 16 bits leave room for what is added at a time.</summary>
        /// <param name="counts">Counts, together.</param>
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        private static bool MightCarry(Vector256<long> counts) => (counts & Vector256.Create(~(long)uint.MaxValue)) != Vector256<long>.Zero;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        private void AddSums(nuint column, Vector256<long> lower, Vector256<long> upper)
        {
            (lower + Vector256.LoadUnsafe(ref _sums, column)).StoreUnsafe(ref _sums, column);
            (upper + Vector256.LoadUnsafe(ref _sums, column + 4)).StoreUnsafe(ref _sums, column + 4);
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        private static void AddSquares(ref ulong to, nuint at, Vector256<ulong> squares) => (squares + Vector256.LoadUnsafe(ref to, at)).StoreUnsafe(ref to, at);
    }
}
