using Acquire.Scales;

namespace Acquire.Columns;

/// <summary>What is kept of every scan that went into each column of one vertical: one entry per column, all integers.</summary>
/// <remarks>
/// All spans have <see cref="ColumnCount"/> entries, column 0 first, and show memory owned by this object: valid as long as it
/// lives, changed by the engine's next call. An entry of an unfilled column (count 0) has no meaning. Not thread-safe; other
/// threads read snapshots. Sums are integers, so any grouping of the same scans gives the same bits.
/// </remarks>
public sealed partial class ColumnStatistics
{
    // An unfilled column holds what a first scan is added to as any other: nothing, and the lowest of none.
    private readonly long[] _counts;
    private readonly ushort[] _highest;
    private readonly ushort[] _lowest;
    private readonly ushort[] _last;
    private readonly long[] _sums;
    private readonly UInt128[] _squareSums;
    private readonly Int128[]?[] _domainSums = new Int128[AveragingDomains.Count][];

    /// <summary>Allocates columns, all unfilled.</summary>
    /// <param name="columnCount">Columns, at least 1.</param>
    /// <param name="domains">Averaging domains that get a sum of table values.</param>
    /// <exception cref="ArgumentOutOfRangeException">No column, or a domain without a name.</exception>
    public ColumnStatistics(int columnCount, IReadOnlyCollection<AveragingDomain> domains)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(columnCount, 1);
        ArgumentNullException.ThrowIfNull(domains);
        AveragingDomains.ThrowIfUnnamed(domains);
        _counts = new long[columnCount];
        _highest = new ushort[columnCount];
        _lowest = new ushort[columnCount];
        _last = new ushort[columnCount];
        _sums = new long[columnCount];
        _squareSums = new UInt128[columnCount];
        foreach (AveragingDomain domain in domains) _domainSums[(int)domain] = new Int128[columnCount];
        Array.Fill(_lowest, ushort.MaxValue);
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
    public bool Has(AveragingDomain domain) => AveragingDomains.IsNamed(domain) && _domainSums[(int)domain] is not null;

    /// <summary>Sum of the domain's table values per column (see <see cref="DomainTable"/>).</summary>
    /// <param name="domain">A domain that the setup asked for.</param>
    /// <exception cref="InvalidOperationException">The setup did not ask for this domain.</exception>
    public ReadOnlySpan<Int128> DomainSums(AveragingDomain domain) =>
        Has(domain) ? _domainSums[(int)domain] : throw new InvalidOperationException(
            $"The {domain} domain was not asked for; name it in the setup's averaging domains.");

    /// <summary>Adds one scan to a column. This is the specification that faster paths must match.</summary>
    /// <remarks>Called for every scan, so nothing is checked first: a column that is not there ends in <see cref="IndexOutOfRangeException"/>.</remarks>
    /// <param name="column">0 to ColumnCount - 1.</param>
    /// <param name="code">Code of the vertical.</param>
    /// <param name="tables">Table per domain, indexed by <see cref="AveragingDomain"/>; null where the domain was not asked for.</param>
    public void Add(int column, ushort code, ReadOnlySpan<DomainTable?> tables)
    {
        _counts[column]++;
        if (code > _highest[column]) _highest[column] = code;
        if (code < _lowest[column]) _lowest[column] = code;
        _last[column] = code;
        _sums[column] += code;
        _squareSums[column] += (ulong)((long)code * code);
        for (int d = 0; d < tables.Length; d++)
            if (tables[d] is { } table) _domainSums[d]![column] += table[code];
    }

    /// <summary>Adds a column of another object that holds later scans of the same sweep.</summary>
    /// <remarks>As <see cref="Add(int, ushort, ReadOnlySpan{DomainTable?})"/>, nothing is checked first.</remarks>
    /// <param name="column">Column here.</param>
    /// <param name="later">The other object, with the same domains.</param>
    /// <param name="laterColumn">Column there; an unfilled one changes nothing.</param>
    public void Merge(int column, ColumnStatistics later, int laterColumn)
    {
        ArgumentNullException.ThrowIfNull(later);
        if (later._counts[laterColumn] == 0) return;
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
    /// <remarks>As <see cref="Add(int, ushort, ReadOnlySpan{DomainTable?})"/>, nothing is checked first.</remarks>
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
    internal void ClearRange(int first, int end)
    {
        int n = end - first;
        Array.Clear(_counts, first, n);
        Array.Clear(_highest, first, n);
        _lowest.AsSpan(first, n).Fill(ushort.MaxValue);
        Array.Clear(_sums, first, n);
        Array.Clear(_squareSums, first, n);
        foreach (Int128[]? sums in _domainSums)
            if (sums is not null) Array.Clear(sums, first, n);
    }

    /// <summary>Copies every column of an object with the same count and domains.</summary>
    /// <param name="source">The other object.</param>
    /// <exception cref="ArgumentException">It has another count or other domains; nothing has changed.</exception>
    public void CopyFrom(ColumnStatistics source)
    {
        ArgumentNullException.ThrowIfNull(source);
        bool same = source.ColumnCount == ColumnCount;
        for (int d = 0; d < _domainSums.Length; d++) same &= _domainSums[d] is null == source._domainSums[d] is null;
        if (!same) throw new ArgumentException($"The columns are those of another setup ({source.ColumnCount} columns, here {ColumnCount}, or other domains); copy between columns made alike.", nameof(source));
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
    public void Clear(int column) => ClearRange(column, column + 1);

    /// <summary>Makes every column unfilled.</summary>
    public void Clear() => ClearRange(0, ColumnCount);
}
