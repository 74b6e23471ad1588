namespace Acquire.Traces;

/// <summary>Which columns changed, per column and, for the last few publishes, as one range that spares looking at every column.</summary>
internal sealed class ChangeLog(int columnCount)
{
    // A painter or a snapshot lags by a few publishes at most; who lags more looks at every column.
    private const int Remembered = 32;

    private readonly long[] _columnVersions = new long[columnCount];
    private readonly int[] _first = new int[Remembered];
    private readonly int[] _end = new int[Remembered];
    private readonly bool[] _isWhole = new bool[Remembered];
    private int _pendingFirst = int.MaxValue;
    private int _pendingEnd;
    private bool _pendingIsWhole = true;
    private bool _pending;

    /// <summary>Publishes so far.</summary>
    public long Version { get; private set; }

    /// <summary>Version in which each column last changed.</summary>
    public ReadOnlySpan<long> ColumnVersions => _columnVersions;

    public void Mark(int column)
    {
        _columnVersions[column] = Version + 1;
        Join(column, column + 1, isWhole: true, ref _pendingFirst, ref _pendingEnd, ref _pendingIsWhole);
        _pending = true;
    }

    /// <summary>Columns [first, end) change, all but a few between them.</summary>
    public void MarkRange(int first, int end, ReadOnlySpan<int> butFor = default)
    {
        Span<long> kept = stackalloc long[butFor.Length];
        for (int i = 0; i < kept.Length; i++) kept[i] = _columnVersions[butFor[i]];
        Array.Fill(_columnVersions, Version + 1, first, end - first);
        for (int i = 0; i < kept.Length; i++) _columnVersions[butFor[i]] = kept[i];
        Join(first, end, isWhole: butFor.IsEmpty, ref _pendingFirst, ref _pendingEnd, ref _pendingIsWhole);
        _pending = true;
    }

    public void MarkAll() => MarkRange(0, columnCount);

    /// <summary>Something other than a column changed: the front, the sweep number.</summary>
    public void MarkState() => _pending = true;

    /// <summary>Closes a publish.</summary>
    /// <returns>Whether anything had changed.</returns>
    public bool Publish()
    {
        if (!_pending) return false;
        Version++;
        _first[Version % Remembered] = _pendingFirst;
        _end[Version % Remembered] = _pendingEnd;
        _isWhole[Version % Remembered] = _pendingIsWhole;
        _pendingFirst = int.MaxValue;
        _pendingEnd = 0;
        _pendingIsWhole = true;
        _pending = false;
        return true;
    }

    /// <summary>The range that holds every column changed after a version.</summary>
    /// <param name="sinceVersion">The version that was seen last.</param>
    /// <param name="firstColumn">First column that may have changed.</param>
    /// <param name="endColumn">One past the last.</param>
    /// <param name="isWhole">It is known that all columns between them have changed.</param>
    public bool TryGetChanges(long sinceVersion, out int firstColumn, out int endColumn, out bool isWhole)
    {
        firstColumn = 0;
        endColumn = 0;
        isWhole = false;
        if (sinceVersion >= Version) return false;
        if (sinceVersion < 0 || Version - sinceVersion > Remembered)
        {
            endColumn = columnCount;
            return true;
        }

        firstColumn = int.MaxValue;
        isWhole = true;
        for (long version = sinceVersion + 1; version <= Version; version++)
        {
            long at = version % Remembered;
            Join(_first[at], _end[at], _isWhole[at], ref firstColumn, ref endColumn, ref isWhole);
        }

        if (endColumn > firstColumn) return true;
        firstColumn = 0;
        return false;
    }

    /// <summary>Takes over another log's state, whose changes since <see cref="Version"/> lie in a range.</summary>
    public void Follow(ChangeLog source, int firstColumn, int endColumn)
    {
        source._columnVersions.AsSpan(firstColumn, endColumn - firstColumn).CopyTo(_columnVersions.AsSpan(firstColumn));
        source._first.CopyTo(_first, 0);
        source._end.CopyTo(_end, 0);
        source._isWhole.CopyTo(_isWhole, 0);
        Version = source.Version;
    }

    /// <summary>Makes a range reach over another; it stays whole where both are and nothing lies between them.</summary>
    private static void Join(int first, int end, bool isWhole, ref int rangeFirst, ref int rangeEnd, ref bool rangeIsWhole)
    {
        if (first >= end) return;
        rangeIsWhole &= isWhole && (rangeFirst >= rangeEnd || (first <= rangeEnd && end >= rangeFirst));
        rangeFirst = Math.Min(rangeFirst, first);
        rangeEnd = Math.Max(rangeEnd, end);
    }
}
