namespace Acquire.Traces;

/// <summary>Which columns changed, per column and, for the last few publishes, as one range that spares looking at every column.</summary>
internal sealed class ChangeLog(int columnCount)
{
    // A painter or a snapshot lags by a few publishes at most; who lags more looks at every column.
    private const int Remembered = 32;

    private readonly long[] _columnVersions = new long[columnCount];
    private readonly int[] _first = new int[Remembered];
    private readonly int[] _end = new int[Remembered];
    private int _pendingFirst = int.MaxValue;
    private int _pendingEnd;
    private bool _pending;

    /// <summary>Publishes so far.</summary>
    public long Version { get; private set; }

    /// <summary>Version in which each column last changed.</summary>
    public ReadOnlySpan<long> ColumnVersions => _columnVersions;

    public void Mark(int column)
    {
        _columnVersions[column] = Version + 1;
        _pendingFirst = Math.Min(_pendingFirst, column);
        _pendingEnd = Math.Max(_pendingEnd, column + 1);
        _pending = true;
    }

    /// <summary>Columns [first, end) change.</summary>
    public void MarkRange(int first, int end)
    {
        Array.Fill(_columnVersions, Version + 1, first, end - first);
        _pendingFirst = Math.Min(_pendingFirst, first);
        _pendingEnd = Math.Max(_pendingEnd, end);
        _pending = true;
    }

    public void MarkAll()
    {
        Array.Fill(_columnVersions, Version + 1);
        _pendingFirst = 0;
        _pendingEnd = columnCount;
        _pending = true;
    }

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
        _pendingFirst = int.MaxValue;
        _pendingEnd = 0;
        _pending = false;
        return true;
    }

    /// <summary>The range that holds every column changed after a version.</summary>
    public bool TryGetChanges(long sinceVersion, out int firstColumn, out int endColumn)
    {
        firstColumn = 0;
        endColumn = 0;
        if (sinceVersion >= Version) return false;
        if (sinceVersion < 0 || Version - sinceVersion > Remembered)
        {
            endColumn = columnCount;
            return true;
        }

        firstColumn = int.MaxValue;
        for (long version = sinceVersion + 1; version <= Version; version++)
        {
            firstColumn = Math.Min(firstColumn, _first[version % Remembered]);
            endColumn = Math.Max(endColumn, _end[version % Remembered]);
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
        Version = source.Version;
    }
}
