using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Capture;
using Acquire.Scales;

namespace Acquire.Columns;

/// <content>Many scans at a time, with the bits that scan by scan gives.</content>
public sealed partial class ColumnStatistics
{
    /// <summary>Adds readings to a column, all but the domains' sums.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal void Add(int column, in ReadingRun run)
    {
        Unchecked columns = new(this, column, 1);
        columns.Add(0, run);
    }

    /// <summary>Columns that were checked to be there, so that they need not be for each array: all have the same length.</summary>
    private readonly ref partial struct Unchecked
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
            // Each place anew where it is needed: what is kept for later would not stay in registers.
            Unsafe.Add(ref _last, column) = (ushort)run.Last;
            if (Unsafe.Add(ref _counts, column) == 0)
            {
                // As below, but for what an unfilled column is known to hold.
                Unsafe.Add(ref _counts, column) = run.Count;
                Unsafe.Add(ref _highest, column) = (ushort)run.Highest;
                Unsafe.Add(ref _lowest, column) = (ushort)run.Lowest;
                Unsafe.Add(ref _sums, column) = run.Sum;
                Unsafe.Add(ref _squares, column) = run.Squares;
                return;
            }

            Unsafe.Add(ref _counts, column) += run.Count;
            Unsafe.Add(ref _highest, column) = (ushort)Lanes.More(Unsafe.Add(ref _highest, column), run.Highest);
            Unsafe.Add(ref _lowest, column) = (ushort)Lanes.Less(Unsafe.Add(ref _lowest, column), run.Lowest);
            Unsafe.Add(ref _sums, column) += run.Sum;
            Unsafe.Add(ref _squares, column) += run.Squares;
        }
    }

    /// <summary>Adds a domain's sum to a column.</summary>
    /// <param name="domain">Index of the domain.</param>
    /// <param name="column">Column.</param>
    /// <param name="sum">Sum of table values.</param>
    internal void AddDomain(int domain, int column, Int128 sum) => _domainSums[domain]![column] += sum;

    /// <summary>Adds table values of readings side by side to columns side by side; as <see cref="AddSideBySide"/>.</summary>
    internal void AddDomainSideBySide(int domain, int first, ReadOnlySpan<int> ends, int from, ref ushort codes, DomainTable table)
    {
        Span<Int128> sums = _domainSums[domain].AsSpan(first, ends.Length);
        for (int i = 0; i < ends.Length; i++)
        {
            int end = ends[i];
            if (end > from) sums[i] += ReadingRun.SumOf(table, ref Unsafe.Add(ref codes, from), end - from);
            from = end;
        }
    }

    /// <summary>Adds table values of scans one by one, each to its column; those outside of the edges are left out.</summary>
    internal void AddDomainEach(int domain, ReadOnlySpan<int> columns, ReadOnlySpan<ushort> codes, DomainTable table)
    {
        Int128[] sums = _domainSums[domain]!;
        for (int i = 0; i < codes.Length; i++)
        {
            int column = columns[i];
            if (column >= 0) sums[column] += table[codes[i]];
        }
    }
}
