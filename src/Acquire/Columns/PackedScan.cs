using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Columns;

/// <summary>Readings of up to 12 bits, packed so that few words for each column are added to: of up to 512 readings how many, their sum and
/// that of their squares fit 64 bits, and 32 more hold the highest code and the highest complement of one.</summary>
internal static class PackedScan
{
    /// <summary>Readings that are packed at once, at most.</summary>
    public const int Most = 512;

    /// <summary>Readings are packed by so many.</summary>
    public const int Piece = 16;

    /// <summary>Columns that are added to at once, at most.</summary>
    public const int MostColumns = 1_024;

    // From the lowest bit on: squares, sum, count.
    private const int SumShift = 33;
    private const int CountShift = 54;
    private const ulong SquaresBits = (1ul << SumShift) - 1;

    /// <summary>Words of 64 bits for so many readings or columns: first their sums, then their extremes, two in each word.</summary>
    public static int Words(int count) => count * 3 / 2;

    /// <summary>Packs readings.</summary>
    /// <param name="codes">Place of the first.</param>
    /// <param name="count">How many, a multiple of <see cref="Piece"/>.</param>
    /// <param name="scans">Gets them, in the words of <see cref="Most"/>.</param>
    /// <returns>The highest reading; when it has more than 12 bits the others mean nothing.</returns>
    public static int Pack(ref ushort codes, int count, ref ulong scans)
    {
        Vector256<ushort> highest = default;
        ref uint pairs = ref Unsafe.As<ulong, uint>(ref Unsafe.Add(ref scans, Most));
        for (nuint i = 0; i < (nuint)count; i += Piece)
        {
            Vector256<ushort> some = Vector256.LoadUnsafe(ref codes, i);
            highest = Vector256.Max(highest, some);
            (Vector256<uint> first, Vector256<uint> second) = Lanes.Interleave(some, ~some);
            first.StoreUnsafe(ref pairs, i);
            second.StoreUnsafe(ref pairs, i + 8);
            Pack(Vector256.WidenLower(some), ref scans, i);
            Pack(Vector256.WidenUpper(some), ref scans, i + 8);
        }

        return Lanes.Highest(highest);
    }

    /// <summary>Makes the words of <see cref="MostColumns"/> hold no reading for some columns, and for those behind up to a multiple of eight.</summary>
    public static void Clear(ref ulong sums, int columns)
    {
        for (nuint i = 0; i < (nuint)columns; i += 8)
        {
            Vector256<ulong>.Zero.StoreUnsafe(ref sums, i);
            Vector256<ulong>.Zero.StoreUnsafe(ref sums, i + 4);
            Vector256<ulong>.Zero.StoreUnsafe(ref sums, MostColumns + (i / 2));
        }
    }

    /// <summary>Adds scans to the words of the columns of their ramp codes; those outside of these columns are left out.</summary>
    /// <param name="ramp">Ramp codes.</param>
    /// <param name="columnOfCode">Column of each code, of all codes that <paramref name="ramp"/> holds.</param>
    /// <param name="first">The first column.</param>
    /// <param name="scans">The packed readings.</param>
    /// <param name="sums">The columns' words.</param>
    /// <param name="last">Gets the last reading of each column.</param>
    /// <param name="lastScans">Gets the last scan of each column.</param>
    /// <param name="firstScan">The first scan.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    public static void Add(
        ReadOnlySpan<ushort> ramp, ReadOnlySpan<int> columnOfCode, int first, ref ulong scans, ref ulong sums, Span<ushort> last, Span<long> lastScans, long firstScan)
    {
        ref ushort code = ref MemoryMarshal.GetReference(ramp);
        ref int columns = ref MemoryMarshal.GetReference(columnOfCode);
        ref ushort lastOf = ref MemoryMarshal.GetReference(last);
        ref long lastScan = ref MemoryMarshal.GetReference(lastScans);
        nuint count = (uint)last.Length;
        long scan = firstScan;
        for (nuint i = 0; i < (uint)ramp.Length; i += 4, scan += 4)
        {
            AddOne(ref code, ref columns, ref scans, ref sums, ref lastOf, ref lastScan, i, scan, 0);
            AddOne(ref code, ref columns, ref scans, ref sums, ref lastOf, ref lastScan, i, scan, 1);
            AddOne(ref code, ref columns, ref scans, ref sums, ref lastOf, ref lastScan, i, scan, 2);
            AddOne(ref code, ref columns, ref scans, ref sums, ref lastOf, ref lastScan, i, scan, 3);
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        void AddOne(ref ushort code, ref int columns, ref ulong scans, ref ulong sums, ref ushort lastOf, ref long lastScan, nuint i, long scan, int more)
        {
            nuint column = (uint)(Unsafe.Add(ref columns, (nuint)Unsafe.Add(ref Unsafe.Add(ref code, i), more)) - first);
            if (column >= count) return;
            Unsafe.Add(ref lastScan, column) = scan + more;
            Unsafe.Add(ref sums, column) += Unsafe.Add(ref Unsafe.Add(ref scans, i), more);
            uint pair = Unsafe.Add(ref Pair(ref scans, Most, i), more);
            Unsafe.Add(ref lastOf, column) = (ushort)pair;
            ref uint extremes = ref Pair(ref sums, MostColumns, column);
            extremes = Vector128.Max(Vector128.CreateScalarUnsafe(extremes).AsUInt16(), Vector128.CreateScalarUnsafe(pair).AsUInt16()).AsUInt32().ToScalar();
        }
    }

    /// <summary>Highest code and highest complement of eight columns.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<ushort> Extremes(ref ulong sums, nuint column) => Vector256.LoadUnsafe(ref Pair(ref sums, MostColumns, column)).AsUInt16();

    /// <summary>Highest code and highest complement of a column.</summary>
    public static uint Extreme(ref ulong sums, nuint column) => Pair(ref sums, MostColumns, column);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static ref uint Pair(ref ulong words, int behind, nuint at) => ref Unsafe.Add(ref Unsafe.As<ulong, uint>(ref words), (nuint)(2 * behind) + at);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Pack(Vector256<uint> codes, ref ulong scans, nuint at)
    {
        (Vector256<ulong> lower, Vector256<ulong> upper) = Lanes.Interleave(codes * codes, (codes << (SumShift - 32)) + Vector256.Create(1u << (CountShift - 32)));
        lower.StoreUnsafe(ref scans, at);
        upper.StoreUnsafe(ref scans, at + 4);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<long> Count(Vector256<ulong> packed) => (packed >>> CountShift).AsInt64();

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<long> Sum(Vector256<ulong> packed) => (packed << (64 - CountShift) >>> (64 - CountShift + SumShift)).AsInt64();

    /// <summary>Squares of the first two lanes, as 128 bits each.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<ulong> FirstSquares(Vector256<ulong> packed) =>
        Vector256.Shuffle(packed, Vector256.Create(0ul, 0, 1, 1)) & Vector256.Create(SquaresBits, 0, SquaresBits, 0);

    /// <summary>Squares of the last two lanes, as 128 bits each.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public static Vector256<ulong> SecondSquares(Vector256<ulong> packed) =>
        Vector256.Shuffle(packed, Vector256.Create(2ul, 2, 3, 3)) & Vector256.Create(SquaresBits, 0, SquaresBits, 0);

    public static long Count(ulong packed) => (long)(packed >> CountShift);

    public static long Sum(ulong packed) => (long)(packed << (64 - CountShift) >> (64 - CountShift + SumShift));

    public static ulong Squares(ulong packed) => packed & SquaresBits;
}
