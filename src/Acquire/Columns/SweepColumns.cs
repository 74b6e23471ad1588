using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Acquire.Scales;

namespace Acquire.Columns;

/// <summary>Columns of all verticals for one stretch of a sweep, with where its scans went.</summary>
internal sealed class SweepColumns
{
    private readonly ColumnStatistics[] _verticals;
    private readonly long[] _lastScan;
    private readonly ColumnMarks[] _marks;
    private Tally _tally;

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

    /// <summary>Which columns were touched and where the scans went.</summary>
    public struct Tally
    {
        public int First;
        public int End;
        public long InColumns;
        public long Fitted;
        public long Overscan;
        public long Blanked;
        public long Unfiled;
        public long Suspect;
    }

    /// <summary>All counts together; they go with the columns.</summary>
    public Tally State { get => _tally; set => _tally = value; }

    /// <summary>First column touched, or ColumnCount.</summary>
    public int First => _tally.First;

    /// <summary>One past the last column touched, or 0.</summary>
    public int End => _tally.End;

    public long InColumns => _tally.InColumns;

    public long Fitted => _tally.Fitted;

    public long Overscan => _tally.Overscan;

    public long Blanked => _tally.Blanked;

    /// <summary>Scans at the start of the sweep whose readings belong to the ramp before it.</summary>
    public long Unfiled => _tally.Unfiled;

    public long Suspect => _tally.Suspect;

    public bool IsFilled(int column) => _verticals[0].Counts[column] > 0;

    /// <summary>One past the last of the columns from one on that are all unfilled; at most <paramref name="end"/>.</summary>
    public int EndOfUnfilled(int first, int end)
    {
        int filled = _verticals[0].Counts[first..end].IndexOfAnyExcept(0);
        return filled < 0 ? end : first + filled;
    }

    /// <summary>One past the last of the columns from a filled one on that are filled but for single ones between them; at most <paramref name="end"/>.</summary>
    /// <param name="first">The first column.</param>
    /// <param name="end">One past the last to look at.</param>
    /// <param name="gaps">Gets the unfilled ones between, as many as it holds.</param>
    /// <param name="count">How many there are.</param>
    public int EndOfFilled(int first, int end, Span<int> gaps, out int count)
    {
        ReadOnlySpan<long> counts = _verticals[0].Counts;
        count = 0;
        for (int at = first; ;)
        {
            int filled = counts[at..end].IndexOf(0);
            if (filled < 0) return end;
            at += filled;
            if (count == gaps.Length || at + 1 >= end || counts[at + 1] == 0) return at;
            gaps[count++] = at++;
        }
    }

    public void Count(PlacedKind kind, long scans = 1)
    {
        switch (kind)
        {
            case PlacedKind.Overscan: _tally.Overscan += scans; break;
            case PlacedKind.Blanked: _tally.Blanked += scans; break;
            default: _tally.Unfiled += scans; break;
        }
    }

    public void CountOverscan(int scans) => _tally.Overscan += scans;

    /// <summary>Closes scans of one column without marks, whose readings were entered; an unfilled column has none.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public void CloseRun(int column, long lastScan) => _lastScan[column] = lastScan;

    /// <summary>Closes scans without marks, whose readings were entered in columns one after another.</summary>
    /// <param name="first">First column.</param>
    /// <param name="ends">For each column one past its last scan, counted from <paramref name="scan"/>.</param>
    /// <param name="from">First scan in them, counted likewise.</param>
    /// <param name="scan">Index of the scan from which is counted.</param>
    public void CloseSideBySide(int first, ReadOnlySpan<int> ends, int from, long scan)
    {
        Span<long> lastScans = _lastScan.AsSpan(first, ends.Length);
        if (ends.Length <= Vector256<long>.Count)
        {
            for (int i = 0; i < ends.Length; i++)
            {
                if (ends[i] > from) lastScans[i] = scan + ends[i] - 1;
                from = ends[i];
            }

            return;
        }

        if (ends[0] > from) lastScans[0] = scan + ends[0] - 1;
        ref long lastScan = ref MemoryMarshal.GetReference(lastScans);
        ref int end = ref MemoryMarshal.GetReference(ends);
        nuint behind = (nuint)(ends.Length - Vector256<long>.Count);
        for (nuint i = 1; ; i += (nuint)Vector256<long>.Count)
        {
            // The last four, some of which were taken already and get the same again.
            if (i > behind) i = behind;
            Vector256<int> some = Vector128.LoadUnsafe(ref end, i).ToVector256Unsafe(), froms = Vector128.LoadUnsafe(ref end, i - 1).ToVector256Unsafe();
            Vector256<long> closed = Vector256.WidenLower(some) + Vector256.Create(scan - 1), kept = Vector256.LoadUnsafe(ref lastScan, i);
            Vector256.ConditionalSelect(Vector256.WidenLower(Vector256.GreaterThan(some, froms)), closed, kept).StoreUnsafe(ref lastScan, i);
            if (i == behind) return;
        }
    }

    /// <summary>Marks a column that was closed.</summary>
    public void Mark(int column, ColumnMarks marks) => _marks[column] |= marks;

    /// <summary>Marks the columns that <see cref="CloseSideBySide"/> has closed.</summary>
    public void MarkSideBySide(int first, ReadOnlySpan<int> ends, int from, ColumnMarks marks)
    {
        for (int i = 0; i < ends.Length; i++)
        {
            if (ends[i] > from) Mark(first + i, marks);
            from = ends[i];
        }
    }

    /// <summary>Enters and closes scans without marks one by one, each in the column of its ramp code; those outside of the edges are left out.</summary>
    public void AddEach(int vertical, ReadOnlySpan<ushort> ramp, ReadOnlySpan<int> columnOfCode, ref ushort codes, long firstScan) =>
        _verticals[vertical].AddEach(ramp, columnOfCode, ref codes, _lastScan, firstScan);

    /// <summary>As <see cref="AddEach"/>, each in its column.</summary>
    public void AddSingly(int vertical, ReadOnlySpan<int> columns, ReadOnlySpan<ushort> codes, long firstScan) =>
        _verticals[vertical].AddSingly(columns, codes, _lastScan, firstScan);

    /// <summary>Counts scans that were closed in columns [first, end).</summary>
    public void CountRuns(int first, int end, long scans, bool fitted)
    {
        _tally.InColumns += scans;
        if (fitted) _tally.Fitted += scans;
        Touch(first, end);
    }

    /// <summary>Enters one scan's reading of one vertical; call for each vertical, then <see cref="Close"/>.</summary>
    public void Add(int vertical, int column, ushort code, ReadOnlySpan<DomainTable?> tables) =>
        _verticals[vertical].Add(column, code, tables);

    /// <summary>Closes the scan whose readings were entered.</summary>
    public void Close(int column, long scan, bool fitted, ColumnMarks marks)
    {
        _tally.InColumns++;
        if (fitted) _tally.Fitted++;
        if ((marks & ColumnMarks.Suspect) != ColumnMarks.None) _tally.Suspect++;
        _marks[column] = _verticals[0].Counts[column] == 1 ? marks : _marks[column] | marks;
        _lastScan[column] = scan;
        Touch(column, column + 1);
    }

    /// <summary>How many columns have a mark.</summary>
    public int CountMarked(ColumnMarks mark)
    {
        ReadOnlySpan<int> bits = MemoryMarshal.Cast<ColumnMarks, int>(_marks);
        Vector<int> wanted = new((int)mark), counts = Vector<int>.Zero;
        int i = 0;
        // A comparison that holds gives -1.
        for (; i <= bits.Length - Vector<int>.Count; i += Vector<int>.Count) counts -= Vector.Equals(new Vector<int>(bits[i..]) & wanted, wanted);
        int count = Vector.Sum(counts);
        for (; i < bits.Length; i++)
            if ((bits[i] & (int)mark) != 0) count++;
        return count;
    }

    /// <summary>Adds one column of a later stretch, which may have another grid.</summary>
    public void MergeColumn(int column, SweepColumns later, int laterColumn)
    {
        if (!later.IsFilled(laterColumn)) return;
        _marks[column] = IsFilled(column) ? _marks[column] | later._marks[laterColumn] : later._marks[laterColumn];
        for (int v = 0; v < _verticals.Length; v++) _verticals[v].Merge(column, later._verticals[v], laterColumn);
        _lastScan[column] = later._lastScan[laterColumn];
        Touch(column, column + 1);
    }

    /// <summary>Counts scans of a column that was merged.</summary>
    public void CountMerged(int column, long scans, bool fitted, ColumnMarks marks)
    {
        _tally.InColumns += scans;
        if (fitted) _tally.Fitted += scans;
        if ((_marks[column] & ColumnMarks.Suspect) != ColumnMarks.None) _tally.Suspect += scans;
        _marks[column] |= marks;
    }

    /// <summary>Takes over where the scans went, not which columns were touched.</summary>
    public void AddCounts(SweepColumns later)
    {
        _tally.InColumns += later.InColumns;
        _tally.Fitted += later.Fitted;
        _tally.Overscan += later.Overscan;
        _tally.Blanked += later.Blanked;
        _tally.Unfiled += later.Unfiled;
        _tally.Suspect += later.Suspect;
    }

    /// <summary>Counts scans that a coarser look at an edge left outside of the screen.</summary>
    public void MoveToOverscan(long scans)
    {
        _tally.InColumns -= scans;
        _tally.Overscan += scans;
    }

    /// <summary>Replaces columns [first, end) by those of another object of the same shape; the counts stay.</summary>
    public void CopyRange(int first, int end, SweepColumns source)
    {
        for (int v = 0; v < _verticals.Length; v++) _verticals[v].CopyRange(first, end, source._verticals[v]);
        source._lastScan.AsSpan(first, end - first).CopyTo(_lastScan.AsSpan(first));
        source._marks.AsSpan(first, end - first).CopyTo(_marks.AsSpan(first));
    }

    /// <summary>Empties one column.</summary>
    public void ClearColumn(int column)
    {
        foreach (ColumnStatistics vertical in _verticals) vertical.Clear(column);
        _marks[column] = ColumnMarks.None;
    }

    /// <summary>Empties columns [first, end).</summary>
    public void ClearRange(int first, int end)
    {
        if (first >= end) return;
        foreach (ColumnStatistics vertical in _verticals) vertical.ClearRange(first, end);
        Array.Clear(_marks, first, end - first);
    }

    /// <summary>Empties everything that was touched.</summary>
    public void Clear()
    {
        ClearRange(First, End);
        _tally = new Tally { First = ColumnCount };
    }

    private void Touch(int first, int end)
    {
        if (first < _tally.First) _tally.First = first;
        if (end > _tally.End) _tally.End = end;
    }
}
