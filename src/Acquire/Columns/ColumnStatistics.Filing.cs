using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Capture;
using Acquire.Scales;

namespace Acquire.Columns;

/// <content>Many scans at a time, with the bits that scan by scan gives.</content>
public sealed partial class ColumnStatistics
{
    private static readonly int LowerHalf = BitConverter.IsLittleEndian ? 0 : 1;

    /// <summary>Adds readings to a column, all but the domains' sums.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal void Add(int column, in ReadingRun run)
    {
        // The column is checked here, so that it need not be for each array: all have the same length.
        ref long count = ref _counts[column];
        nuint at = (nuint)column;
        ref ushort highest = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_highest), at), lowest = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_lowest), at);
        ref long sum = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_sums), at);
        ref UInt128 squares = ref Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_squareSums), at);
        Unsafe.Add(ref MemoryMarshal.GetArrayDataReference(_last), at) = (ushort)run.Last;
        if (count == 0)
        {
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

    /// <summary>Adds readings side by side to columns side by side, all but the domains' sums.</summary>
    /// <param name="first">First column.</param>
    /// <param name="ends">For each column one past the place of its last reading; as the one before where it gets none.</param>
    /// <param name="from">Place of the first reading.</param>
    /// <param name="codes">Place 0; up to 16 more can be read behind the last.</param>
    /// <param name="full">Highest code.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    internal void AddSideBySide(int first, ReadOnlySpan<int> ends, int from, ref ushort codes, int full)
    {
        for (int i = 0; i < ends.Length; i++)
        {
            int n = ends[i] - from;
            if (n == 0) continue;
            ref ushort some = ref Unsafe.Add(ref codes, from);
            Add(first + i, ReadingRun.Of(ref some, n, full));
            from = ends[i];
        }
    }

    /// <summary>Adds scans one by one, each to the column of its ramp code, all but the domains' sums; those outside of the edges are left out.</summary>
    /// <param name="first">Lowest column of the scans.</param>
    /// <param name="end">One past the highest.</param>
    /// <param name="ramp">Ramp codes.</param>
    /// <param name="columnOfCode">Column of each code.</param>
    /// <param name="codes">Place of the first reading.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    internal void AddEach(int first, int end, ReadOnlySpan<ushort> ramp, ReadOnlySpan<int> columnOfCode, ref ushort codes)
    {
        if (end - first <= 4 * ramp.Length)
        {
            StartUnfilled(first, end);
        }
        else
        {
            foreach (ushort code in ramp)
                if (columnOfCode[code] is var column and >= 0) StartUnfilled(column, column + 1);
        }

        ref long counts = ref MemoryMarshal.GetArrayDataReference(_counts), sums = ref MemoryMarshal.GetArrayDataReference(_sums);
        ref ushort highest = ref MemoryMarshal.GetArrayDataReference(_highest), lowest = ref MemoryMarshal.GetArrayDataReference(_lowest), last = ref MemoryMarshal.GetArrayDataReference(_last);
        ref ulong squares = ref Unsafe.As<UInt128, ulong>(ref MemoryMarshal.GetArrayDataReference(_squareSums));
        int columns = _counts.Length;
        for (int i = 0; i < ramp.Length; i++)
        {
            int column = columnOfCode[ramp[i]];
            if ((uint)column >= (uint)columns) continue;
            nint at = column;
            int code = Unsafe.Add(ref codes, i);
            Unsafe.Add(ref counts, at)++;
            ref ushort high = ref Unsafe.Add(ref highest, at), low = ref Unsafe.Add(ref lowest, at);
            high = (ushort)Lanes.More(high, code);
            low = (ushort)Lanes.Less(low, code);
            Unsafe.Add(ref last, at) = (ushort)code;
            Unsafe.Add(ref sums, at) += code;
            // The upper half is hardly ever touched.
            uint square = (uint)code * (uint)code;
            ref ulong lower = ref Unsafe.Add(ref squares, (2 * at) + LowerHalf);
            lower += square;
            if (lower < square) Unsafe.Add(ref squares, (2 * at) + 1 - LowerHalf)++;
        }
    }

    /// <summary>Gives the unfilled of some columns the values that scans can be added to without looking.</summary>
    private void StartUnfilled(int first, int end)
    {
        for (int column = first; column < end; column++)
        {
            if (_counts[column] > 0) continue;
            _highest[column] = 0;
            _lowest[column] = ushort.MaxValue;
            _sums[column] = 0;
            _squareSums[column] = 0;
        }
    }

    /// <summary>Adds a domain's sum to a column.</summary>
    /// <param name="domain">Index of the domain.</param>
    /// <param name="column">Column.</param>
    /// <param name="sum">Sum of table values.</param>
    /// <param name="first">It was unfilled before.</param>
    internal void AddDomain(int domain, int column, Int128 sum, bool first)
    {
        Int128[] sums = _domainSums[domain]!;
        sums[column] = first ? sum : sums[column] + sum;
    }

    /// <summary>Makes the domains' sums of a column zero.</summary>
    internal void ClearDomains(int column)
    {
        foreach (Int128[]? sums in _domainSums)
            if (sums is not null) sums[column] = 0;
    }

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
