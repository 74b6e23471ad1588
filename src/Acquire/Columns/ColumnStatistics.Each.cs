using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Columns;

/// <content>Scans one by one, each to the column of its own ramp code, with the bits that scan by scan gives.</content>
public sealed partial class ColumnStatistics
{
    private static readonly int LowerHalf = BitConverter.IsLittleEndian ? 0 : 1;

    // From the lower half on.
    private static readonly int UpperHalf = BitConverter.IsLittleEndian ? 1 : -1;

    /// <summary>Adds scans one by one, each to the column of its ramp code, all but the domains' sums; those outside of the edges are left out.</summary>
    /// <param name="ramp">Ramp codes.</param>
    /// <param name="columnOfCode">Column of each code, of all codes that <paramref name="ramp"/> holds.</param>
    /// <param name="codes">Place of the first reading.</param>
    /// <param name="lastScans">Gets the last scan of each column, as long as there are columns.</param>
    /// <param name="firstScan">The first scan.</param>
    internal void AddEach(ReadOnlySpan<ushort> ramp, ReadOnlySpan<int> columnOfCode, ref ushort codes, Span<long> lastScans, long firstScan)
    {
        for (int i = 0; i < ramp.Length;)
        {
            // Whole vectors together, what is left over singly.
            int n = Math.Min(PackedScan.Most, ramp.Length - i) & -PackedScan.Piece;
            if (n == 0 || !TryAddPacked(ramp.Slice(i, n), columnOfCode, ref Unsafe.Add(ref codes, i), lastScans, firstScan + i))
            {
                if (n == 0) n = ramp.Length - i;
                AddSingly(ramp.Slice(i, n), columnOfCode, ref Unsafe.Add(ref codes, i), lastScans, firstScan + i);
            }

            i += n;
        }
    }

    /// <summary>As <see cref="AddEach"/>, first into few words for each column, and then all of those into the columns.</summary>
    /// <returns>Whether they were added: not where codes have more than 12 bits, nor where there are many more columns than scans.</returns>
    [SkipLocalsInit]
    [MethodImpl(MethodImplOptions.NoInlining)]
    private bool TryAddPacked(ReadOnlySpan<ushort> ramp, ReadOnlySpan<int> columnOfCode, ref ushort codes, Span<long> lastScans, long firstScan)
    {
        (int first, int columns) = ColumnsOf(ramp, columnOfCode, lastScans.Length);
        if (columns > PackedScan.MostColumns || !BitConverter.IsLittleEndian) return false;
        Span<ulong> scans = stackalloc ulong[PackedScan.Words(PackedScan.Most)], sums = stackalloc ulong[PackedScan.Words(PackedScan.MostColumns)];
        if (PackedScan.Pack(ref codes, ramp.Length, ref scans[0]) > ReadingRun.NarrowCode) return false;
        PackedScan.Clear(ref sums[0], columns);
        PackedScan.Add(ramp, columnOfCode, first, ref scans[0], ref sums[0], _last.AsSpan(first, columns), lastScans.Slice(first, columns), firstScan);
        AddPacked(first, columns, ref sums[0]);
        return true;
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private void AddPacked(int first, int columns, ref ulong sums)
    {
        Unchecked into = new(this, first, columns);
        // Columns behind get nothing; where there are none, the last are added to singly.
        int together = ColumnCount - first - Together;
        for (int i = 0; i < columns; i += Together)
        {
            if (i <= together && into.TryAddPacked((nuint)i, ref sums)) continue;
            for (int column = i; column < Math.Min(i + Together, columns); column++) into.AddPacked((nuint)column, ref sums);
        }
    }

    /// <summary>Which columns scans reach, those outside of the edges left out.</summary>
    /// <returns>The first, and how many; more than any where that cannot be told.</returns>
    private static (int First, int Columns) ColumnsOf(ReadOnlySpan<ushort> ramp, ReadOnlySpan<int> columnOfCode, int columnCount)
    {
        Vector256<ushort> lowest = Vector256<ushort>.AllBitsSet, highest = default;
        ref ushort code = ref MemoryMarshal.GetReference(ramp);
        for (nuint i = 0; i < (nuint)ramp.Length; i += PackedScan.Piece)
        {
            Vector256<ushort> some = Vector256.LoadUnsafe(ref code, i);
            lowest = Vector256.Min(lowest, some);
            highest = Vector256.Max(highest, some);
        }

        int low = Lanes.Lowest(lowest), high = Lanes.Highest(highest), first = columnOfCode[low], last = columnOfCode[high];
        if (first < 0 && first == last) return (0, 0);
        if (first < 0) first = columnOfCode[NextOther(columnOfCode, low, high)];
        if (last < 0) last = columnOfCode[NextOther(columnOfCode, high, low)];
        if (first > last) (first, last) = (last, first);
        return first < 0 || last >= columnCount ? (0, int.MaxValue) : (first, last + 1 - first);
    }

    /// <summary>The code nearest to one outside of the edges that is not outside of the same.</summary>
    /// <param name="columnOfCode">Column of each code.</param>
    /// <param name="outside">Code outside of the edges.</param>
    /// <param name="other">A code that is not.</param>
    private static int NextOther(ReadOnlySpan<int> columnOfCode, int outside, int other)
    {
        int none = columnOfCode[outside];
        while (Math.Abs(other - outside) > 1)
        {
            int middle = (other + outside) / 2;
            if (columnOfCode[middle] == none) outside = middle;
            else other = middle;
        }

        return other;
    }

    [SkipLocalsInit]
    private void AddSingly(ReadOnlySpan<ushort> ramp, ReadOnlySpan<int> columnOfCode, ref ushort codes, Span<long> lastScans, long firstScan)
    {
        Span<int> columns = stackalloc int[PackedScan.Most];
        columns = columns[..ramp.Length];
        ScanColumns.OfCodes(columnOfCode, ramp, columns);
        AddSingly(columns, MemoryMarshal.CreateReadOnlySpan(ref codes, ramp.Length), lastScans, firstScan);
    }

    /// <summary>Adds scans one by one, each to its column, all but the domains' sums; those outside of the edges are left out.</summary>
    /// <param name="columns">Column of each.</param>
    /// <param name="codes">Readings, as many.</param>
    /// <param name="lastScans">Gets the last scan of each column, as long as there are columns.</param>
    /// <param name="firstScan">The first scan.</param>
    internal void AddSingly(ReadOnlySpan<int> columns, ReadOnlySpan<ushort> codes, Span<long> lastScans, long firstScan)
    {
        ref long counts = ref MemoryMarshal.GetArrayDataReference(_counts), sums = ref MemoryMarshal.GetArrayDataReference(_sums);
        ref ushort highest = ref MemoryMarshal.GetArrayDataReference(_highest), lowest = ref MemoryMarshal.GetArrayDataReference(_lowest), last = ref MemoryMarshal.GetArrayDataReference(_last);
        ref ulong squares = ref Unsafe.Add(ref Unsafe.As<UInt128, ulong>(ref MemoryMarshal.GetArrayDataReference(_squareSums)), LowerHalf);
        ref long lastScan = ref MemoryMarshal.GetReference(lastScans);
        for (int i = 0; i < codes.Length; i++)
        {
            nuint at = (uint)columns[i];
            if (at >= (uint)lastScans.Length) continue;
            int code = codes[i];
            Unsafe.Add(ref lastScan, at) = firstScan + i;
            Unsafe.Add(ref counts, at)++;
            Unsafe.Add(ref sums, at) += code;
            ref ushort high = ref Unsafe.Add(ref highest, at), low = ref Unsafe.Add(ref lowest, at);
            high = (ushort)Lanes.More(high, code);
            low = (ushort)Lanes.Less(low, code);
            Unsafe.Add(ref last, at) = (ushort)code;
            uint square = (uint)code * (uint)code;
            ref ulong lower = ref Unsafe.Add(ref squares, 2 * at);
            ulong sum = lower + square;
            lower = sum;
            // The upper half is hardly ever touched.
            if (sum < square) Unsafe.Add(ref lower, UpperHalf)++;
        }
    }
}
