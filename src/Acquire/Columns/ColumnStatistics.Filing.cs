using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Capture;
using Acquire.Scales;

namespace Acquire.Columns;

/// <content>Many scans at a time, with the bits that scan by scan gives.</content>
public sealed partial class ColumnStatistics
{
    private static readonly int LowerHalf = BitConverter.IsLittleEndian ? 0 : 1;

    // From the lower half on.
    private static readonly int UpperHalf = BitConverter.IsLittleEndian ? 1 : -1;

    /// <summary>Adds readings to a column, all but the domains' sums.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal void Add(int column, in ReadingRun run)
    {
        Unchecked columns = new(this, column, 1);
        columns.Add(0, run);
    }

    /// <summary>Adds readings side by side to columns side by side, all but the domains' sums.</summary>
    /// <param name="first">First column.</param>
    /// <param name="ends">For each column one past the place of its last reading; as the one before where it gets none.</param>
    /// <param name="from">Place of the first reading.</param>
    /// <param name="codes">Place 0; up to 16 more can be read behind the last.</param>
    /// <param name="full">Highest code.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    internal void AddSideBySide(int first, ReadOnlySpan<int> ends, int from, ref ushort codes, int full)
    {
        if (full > ReadingRun.NarrowCode)
        {
            AddWideSideBySide(first, ends, from, ref codes, full);
            return;
        }

        // Without a call from here on, so that what it needs stays in registers.
        Unchecked columns = new(this, first, ends.Length);
        ref int end = ref MemoryMarshal.GetReference(ends);
        for (nuint i = 0; i < (nuint)ends.Length; i++)
        {
            int n = Unsafe.Add(ref end, i) - from;
            if (n == 0) continue;
            columns.Add(i, ReadingRun.OfNarrow(ref Unsafe.Add(ref codes, from), n));
            from += n;
        }
    }

    private void AddWideSideBySide(int first, ReadOnlySpan<int> ends, int from, ref ushort codes, int full)
    {
        for (int i = 0; i < ends.Length; i++)
        {
            int n = ends[i] - from;
            if (n == 0) continue;
            Add(first + i, ReadingRun.Of(ref Unsafe.Add(ref codes, from), n, full));
            from += n;
        }
    }

    /// <summary>Columns that were checked to be there, so that they need not be for each array: all have the same length.</summary>
    private readonly ref struct Unchecked
    {
        private readonly ref long _counts;
        private readonly ref ushort _highest;
        private readonly ref ushort _lowest;
        private readonly ref ushort _last;
        private readonly ref long _sums;
        private readonly ref UInt128 _squares;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Unchecked(ColumnStatistics of, int first, int columns)
        {
            _counts = ref MemoryMarshal.GetReference(of._counts.AsSpan(first, columns));
            _highest = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(of._highest), (nuint)first);
            _lowest = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(of._lowest), (nuint)first);
            _last = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(of._last), (nuint)first);
            _sums = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(of._sums), (nuint)first);
            _squares = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(of._squareSums), (nuint)first);
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public void Add(nuint column, in ReadingRun run)
        {
            ref long count = ref Unsafe.Add(ref _counts, column);
            ref ushort highest = ref Unsafe.Add(ref _highest, column), lowest = ref Unsafe.Add(ref _lowest, column);
            ref long sum = ref Unsafe.Add(ref _sums, column);
            ref UInt128 squares = ref Unsafe.Add(ref _squares, column);
            Unsafe.Add(ref _last, column) = (ushort)run.Last;
            if (count == 0)
            {
                // As below, but for what an unfilled column is known to hold.
                count = run.Count;
                highest = (ushort)run.Highest;
                lowest = (ushort)run.Lowest;
                sum = run.Sum;
                squares = run.Squares;
                return;
            }

            count += run.Count;
            highest = (ushort)Lanes.More(highest, run.Highest);
            lowest = (ushort)Lanes.Less(lowest, run.Lowest);
            sum += run.Sum;
            squares += run.Squares;
        }
    }

    /// <summary>Adds scans one by one, each to the column of its ramp code, all but the domains' sums; those outside of the edges are left out.</summary>
    /// <param name="ramp">Ramp codes.</param>
    /// <param name="columnOfCode">Column of each code, of all codes that <paramref name="ramp"/> holds.</param>
    /// <param name="codes">Place of the first reading.</param>
    /// <param name="lastScans">Gets the last scan of each column, as long as there are columns.</param>
    /// <param name="firstScan">The first scan.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    internal void AddEach(ReadOnlySpan<ushort> ramp, ReadOnlySpan<int> columnOfCode, ref ushort codes, Span<long> lastScans, long firstScan)
    {
        ref long counts = ref MemoryMarshal.GetArrayDataReference(_counts), sums = ref MemoryMarshal.GetArrayDataReference(_sums);
        ref ushort highest = ref MemoryMarshal.GetArrayDataReference(_highest), lowest = ref MemoryMarshal.GetArrayDataReference(_lowest), last = ref MemoryMarshal.GetArrayDataReference(_last);
        ref ulong squares = ref Unsafe.Add(ref Unsafe.As<UInt128, ulong>(ref MemoryMarshal.GetArrayDataReference(_squareSums)), LowerHalf);
        for (int i = 0; i < ramp.Length; i++)
        {
            int column = columnOfCode[ramp[i]];
            if ((uint)column >= (uint)lastScans.Length) continue;
            lastScans[column] = firstScan + i;
            nuint at = (uint)column;
            int code = Unsafe.Add(ref codes, i);
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

    /// <summary>Adds a domain's sum to a column.</summary>
    /// <param name="domain">Index of the domain.</param>
    /// <param name="column">Column.</param>
    /// <param name="sum">Sum of table values.</param>
    internal void AddDomain(int domain, int column, Int128 sum) => _domainSums[domain]![column] += sum;

    /// <summary>Adds table values of scans to the columns of their ramp codes; those outside of the edges are left out.</summary>
    internal void AddDomainByCode(int domain, ReadOnlySpan<ushort> ramp, ReadOnlySpan<ushort> codes, ReadOnlySpan<int> columnOfCode, DomainTable table)
    {
        Int128[] sums = _domainSums[domain]!;
        for (int i = 0; i < ramp.Length; i++)
        {
            int column = columnOfCode[ramp[i]];
            if (column >= 0) sums[column] += table[codes[i]];
        }
    }
}
