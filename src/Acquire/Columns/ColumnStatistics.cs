using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Capture;
using Acquire.Scales;

namespace Acquire.Columns;

/// <summary>What is kept of every scan that went into each column of one vertical: one entry per column, all integers.</summary>
/// <remarks>
/// All spans have <see cref="ColumnCount"/> entries, column 0 first, and show memory owned by this object: valid as long as it
/// lives, changed by the engine's next call. An entry of an unfilled column (count 0) has no meaning. Not thread-safe; other
/// threads read snapshots. Sums are integers, so any grouping of the same scans gives the same bits.
/// </remarks>
public sealed class ColumnStatistics
{
    private readonly long[] _counts;
    private readonly ushort[] _highest;
    private readonly ushort[] _lowest;
    private readonly ushort[] _last;
    private readonly long[] _sums;
    private readonly UInt128[] _squareSums;
    private readonly Int128[]?[] _domainSums = new Int128[3][];

    /// <summary>Allocates columns, all unfilled.</summary>
    /// <param name="columnCount">Columns, at least 1.</param>
    /// <param name="domains">Averaging domains that get a sum of table values.</param>
    public ColumnStatistics(int columnCount, IReadOnlyCollection<AveragingDomain> domains)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(columnCount, 1);
        ArgumentNullException.ThrowIfNull(domains);
        _counts = new long[columnCount];
        _highest = new ushort[columnCount];
        _lowest = new ushort[columnCount];
        _last = new ushort[columnCount];
        _sums = new long[columnCount];
        _squareSums = new UInt128[columnCount];
        foreach (AveragingDomain domain in domains) _domainSums[(int)domain] = new Int128[columnCount];
    }

    /// <summary>Columns.</summary>
    public int ColumnCount => _counts.Length;

    /// <summary>Scans per column; 0 is an unfilled column.</summary>
    public ReadOnlySpan<long> Counts => _counts;

    /// <summary>Highest code per column.</summary>
    public ReadOnlySpan<ushort> HighestCodes => _highest;

    /// <summary>Lowest code per column.</summary>
    public ReadOnlySpan<ushort> LowestCodes => _lowest;

    /// <summary>Code of the last scan per column.</summary>
    public ReadOnlySpan<ushort> LastCodes => _last;

    /// <summary>Sum of codes per column.</summary>
    public ReadOnlySpan<long> CodeSums => _sums;

    /// <summary>Sum of squared codes per column; 128 bits, since 2^32 scans of 16-bit codes overflow 64.</summary>
    public ReadOnlySpan<UInt128> CodeSquareSums => _squareSums;

    /// <summary>Whether the setup asked for a domain.</summary>
    /// <param name="domain">Averaging domain.</param>
    public bool Has(AveragingDomain domain) => _domainSums[(int)domain] is not null;

    /// <summary>Sum of the domain's table values per column (see <see cref="DomainTable"/>).</summary>
    /// <param name="domain">A domain that the setup asked for.</param>
    /// <exception cref="InvalidOperationException">The setup did not ask for this domain.</exception>
    public ReadOnlySpan<Int128> DomainSums(AveragingDomain domain) =>
        _domainSums[(int)domain] ?? throw new InvalidOperationException(
            $"The {domain} domain was not asked for; name it in the setup's averaging domains.");

    /// <summary>Adds one scan to a column. This is the specification that faster paths must match.</summary>
    /// <param name="column">0 to ColumnCount - 1.</param>
    /// <param name="code">Code of the vertical.</param>
    /// <param name="tables">Table per domain, indexed by <see cref="AveragingDomain"/>; null where the domain was not asked for.</param>
    public void Add(int column, ushort code, ReadOnlySpan<DomainTable?> tables)
    {
        if (_counts[column]++ == 0)
        {
            _highest[column] = code;
            _lowest[column] = code;
            _sums[column] = 0;
            _squareSums[column] = 0;
            foreach (Int128[]? sums in _domainSums)
                if (sums is not null) sums[column] = 0;
        }
        else
        {
            if (code > _highest[column]) _highest[column] = code;
            if (code < _lowest[column]) _lowest[column] = code;
        }

        _last[column] = code;
        _sums[column] += code;
        _squareSums[column] += (ulong)((long)code * code);
        for (int d = 0; d < tables.Length; d++)
            if (tables[d] is { } table) _domainSums[d]![column] += table[code];
    }

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

    /// <summary>Adds a few readings side by side to a column, all but the domains' sums.</summary>
    /// <param name="column">Column.</param>
    /// <param name="codes">Place of the first.</param>
    /// <param name="count">At least 1.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal void AddFew(int column, ref ushort codes, int count)
    {
        int code = codes, highest = code, lowest = code;
        long sum = code, squares = (long)code * code;
        for (int i = 1; i < count; i++)
        {
            code = Unsafe.Add(ref codes, i);
            highest = Lanes.More(highest, code);
            lowest = Lanes.Less(lowest, code);
            sum += code;
            squares += (long)code * code;
        }

        Add(column, new ReadingRun { Count = count, Highest = highest, Lowest = lowest, Last = code, Sum = sum, Squares = (ulong)squares });
    }

    /// <summary>Adds scans one by one, each to the column of its ramp code, all but the domains' sums; those outside of the edges are left out.</summary>
    [MethodImpl(MethodImplOptions.NoInlining)]
    internal void AddEach(ReadOnlySpan<ushort> ramp, ReadOnlySpan<int> columnOfCode, ref ushort codes)
    {
        ref long counts = ref MemoryMarshal.GetArrayDataReference(_counts), sums = ref MemoryMarshal.GetArrayDataReference(_sums);
        ref ushort highest = ref MemoryMarshal.GetArrayDataReference(_highest), lowest = ref MemoryMarshal.GetArrayDataReference(_lowest), last = ref MemoryMarshal.GetArrayDataReference(_last);
        ref UInt128 squares = ref MemoryMarshal.GetArrayDataReference(_squareSums);
        int columns = _counts.Length;
        for (int i = 0; i < ramp.Length; i++)
        {
            int column = columnOfCode[ramp[i]];
            if ((uint)column >= (uint)columns) continue;
            nint at = column;
            int code = Unsafe.Add(ref codes, i);
            // Whether a column was unfilled would be guessed wrong all the time: what has no meaning yet is masked.
            ref long count = ref Unsafe.Add(ref counts, at);
            long filled = -count >> 63;
            count++;
            ref ushort high = ref Unsafe.Add(ref highest, at), low = ref Unsafe.Add(ref lowest, at);
            high = (ushort)Lanes.More(high & (int)filled, code);
            low = (ushort)Lanes.Less(low | ((int)~filled & ushort.MaxValue), code);
            Unsafe.Add(ref last, at) = (ushort)code;
            ref long sum = ref Unsafe.Add(ref sums, at);
            sum = (sum & filled) + code;
            ref UInt128 square = ref Unsafe.Add(ref squares, at);
            square = (square & new UInt128((ulong)filled, (ulong)filled)) + (ulong)((long)code * code);
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

    /// <summary>Adds a column of another object that holds later scans of the same sweep.</summary>
    /// <param name="column">Column here.</param>
    /// <param name="later">The other object, with the same domains.</param>
    /// <param name="laterColumn">Column there; an unfilled one changes nothing.</param>
    public void Merge(int column, ColumnStatistics later, int laterColumn)
    {
        ArgumentNullException.ThrowIfNull(later);
        if (later._counts[laterColumn] == 0) return;
        if (_counts[column] == 0)
        {
            CopyColumn(column, later, laterColumn);
            return;
        }

        _counts[column] += later._counts[laterColumn];
        _highest[column] = Math.Max(_highest[column], later._highest[laterColumn]);
        _lowest[column] = Math.Min(_lowest[column], later._lowest[laterColumn]);
        _last[column] = later._last[laterColumn];
        _sums[column] += later._sums[laterColumn];
        _squareSums[column] += later._squareSums[laterColumn];
        for (int d = 0; d < _domainSums.Length; d++)
            if (_domainSums[d] is { } sums) sums[column] += later._domainSums[d]![laterColumn];
    }

    /// <summary>Replaces one column by a column of another object, filled or not.</summary>
    /// <param name="column">Column here.</param>
    /// <param name="source">The other object, with the same domains.</param>
    /// <param name="sourceColumn">Column there.</param>
    public void CopyColumn(int column, ColumnStatistics source, int sourceColumn)
    {
        ArgumentNullException.ThrowIfNull(source);
        _counts[column] = source._counts[sourceColumn];
        _highest[column] = source._highest[sourceColumn];
        _lowest[column] = source._lowest[sourceColumn];
        _last[column] = source._last[sourceColumn];
        _sums[column] = source._sums[sourceColumn];
        _squareSums[column] = source._squareSums[sourceColumn];
        for (int d = 0; d < _domainSums.Length; d++)
            if (_domainSums[d] is { } sums) sums[column] = source._domainSums[d]![sourceColumn];
    }

    /// <summary>Replaces columns [first, end) by those of another object with the same count and domains.</summary>
    internal void CopyRange(int first, int end, ColumnStatistics source)
    {
        int n = end - first;
        source._counts.AsSpan(first, n).CopyTo(_counts.AsSpan(first, n));
        source._highest.AsSpan(first, n).CopyTo(_highest.AsSpan(first, n));
        source._lowest.AsSpan(first, n).CopyTo(_lowest.AsSpan(first, n));
        source._last.AsSpan(first, n).CopyTo(_last.AsSpan(first, n));
        source._sums.AsSpan(first, n).CopyTo(_sums.AsSpan(first, n));
        source._squareSums.AsSpan(first, n).CopyTo(_squareSums.AsSpan(first, n));
        for (int d = 0; d < _domainSums.Length; d++)
            if (_domainSums[d] is { } sums) source._domainSums[d]!.AsSpan(first, n).CopyTo(sums.AsSpan(first, n));
    }

    /// <summary>Makes columns [first, end) unfilled.</summary>
    internal void ClearRange(int first, int end) => Array.Clear(_counts, first, end - first);

    /// <summary>Copies every column of an object with the same count and domains.</summary>
    /// <param name="source">The other object.</param>
    public void CopyFrom(ColumnStatistics source)
    {
        ArgumentNullException.ThrowIfNull(source);
        source._counts.CopyTo(_counts, 0);
        source._highest.CopyTo(_highest, 0);
        source._lowest.CopyTo(_lowest, 0);
        source._last.CopyTo(_last, 0);
        source._sums.CopyTo(_sums, 0);
        source._squareSums.CopyTo(_squareSums, 0);
        for (int d = 0; d < _domainSums.Length; d++)
            if (_domainSums[d] is { } sums) source._domainSums[d]!.CopyTo(sums, 0);
    }

    /// <summary>Makes one column unfilled.</summary>
    /// <param name="column">0 to ColumnCount - 1.</param>
    public void Clear(int column) => _counts[column] = 0;

    /// <summary>Makes every column unfilled.</summary>
    public void Clear() => Array.Clear(_counts);
}
