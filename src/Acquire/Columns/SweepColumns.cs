using Acquire.Scales;

namespace Acquire.Columns;

/// <summary>Columns of all verticals for one stretch of a sweep, with where its scans went.</summary>
internal sealed class SweepColumns
{
    private readonly ColumnStatistics[] _verticals;
    private readonly long[] _lastScan;
    private readonly ColumnMarks[] _marks;

    public SweepColumns(int columnCount, int verticals, IReadOnlyCollection<AveragingDomain> domains)
    {
        _verticals = new ColumnStatistics[verticals];
        for (int v = 0; v < verticals; v++) _verticals[v] = new ColumnStatistics(columnCount, domains);
        _lastScan = new long[columnCount];
        _marks = new ColumnMarks[columnCount];
        Clear();
    }

    public int ColumnCount => _lastScan.Length;

    public ReadOnlySpan<ColumnStatistics> Verticals => _verticals;

    /// <summary>Index of the last scan in each filled column.</summary>
    public ReadOnlySpan<long> LastScans => _lastScan;

    /// <summary>What is to be known of each filled column.</summary>
    public ReadOnlySpan<ColumnMarks> Marks => _marks;

    /// <summary>First column touched, or ColumnCount.</summary>
    public int First { get; private set; }

    /// <summary>One past the last column touched, or 0.</summary>
    public int End { get; private set; }

    public long InColumns { get; private set; }

    public long Fitted { get; private set; }

    public long Overscan { get; private set; }

    public long Blanked { get; private set; }

    /// <summary>Scans at the start of the sweep whose readings belong to the ramp before it.</summary>
    public long Unfiled { get; private set; }

    public long Suspect { get; private set; }

    public bool IsFilled(int column) => _verticals[0].Counts[column] > 0;

    public void Count(PlacedKind kind)
    {
        switch (kind)
        {
            case PlacedKind.Overscan: Overscan++; break;
            case PlacedKind.Blanked: Blanked++; break;
            default: Unfiled++; break;
        }
    }

    /// <summary>Enters one scan's reading of one vertical; call for each vertical, then <see cref="Close"/>.</summary>
    public void Add(int vertical, int column, ushort code, ReadOnlySpan<DomainTable?> tables) =>
        _verticals[vertical].Add(column, code, tables);

    /// <summary>Closes the scan whose readings were entered.</summary>
    public void Close(int column, long scan, bool fitted, ColumnMarks marks)
    {
        InColumns++;
        if (fitted) Fitted++;
        if ((marks & ColumnMarks.Suspect) != ColumnMarks.None) Suspect++;
        _marks[column] = _verticals[0].Counts[column] == 1 ? marks : _marks[column] | marks;
        _lastScan[column] = scan;
        if (column < First) First = column;
        if (column >= End) End = column + 1;
    }

    /// <summary>Adds what a later stretch of the same sweep holds.</summary>
    public void Merge(SweepColumns later)
    {
        for (int c = later.First; c < later.End; c++) MergeColumn(c, later, c);
        AddCounts(later);
    }

    /// <summary>Adds one column of a later stretch, which may have another grid.</summary>
    public void MergeColumn(int column, SweepColumns later, int laterColumn)
    {
        if (!later.IsFilled(laterColumn)) return;
        _marks[column] = IsFilled(column) ? _marks[column] | later._marks[laterColumn] : later._marks[laterColumn];
        for (int v = 0; v < _verticals.Length; v++) _verticals[v].Merge(column, later._verticals[v], laterColumn);
        _lastScan[column] = later._lastScan[laterColumn];
        if (column < First) First = column;
        if (column >= End) End = column + 1;
    }

    public void AddCounts(SweepColumns later)
    {
        InColumns += later.InColumns;
        Fitted += later.Fitted;
        Overscan += later.Overscan;
        Blanked += later.Blanked;
        Unfiled += later.Unfiled;
        Suspect += later.Suspect;
    }

    /// <summary>Counts scans that a coarser look at an edge left outside of the screen.</summary>
    public void MoveToOverscan(long scans)
    {
        InColumns -= scans;
        Overscan += scans;
    }

    /// <summary>Empties one column.</summary>
    public void ClearColumn(int column)
    {
        foreach (ColumnStatistics vertical in _verticals) vertical.Clear(column);
        _marks[column] = ColumnMarks.None;
    }

    /// <summary>Empties everything that was touched.</summary>
    public void Clear()
    {
        for (int c = First; c < End; c++) ClearColumn(c);
        First = ColumnCount;
        End = 0;
        InColumns = Fitted = Overscan = Blanked = Unfiled = Suspect = 0;
    }
}
