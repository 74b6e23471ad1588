using Acquire.Scales;

namespace Acquire.Columns;

/// <summary>What columns held at some scan of the sweep under way, as far as they were changed since, so that all since can be taken back.</summary>
internal sealed class SavedColumns(int columnCount, int verticals, IReadOnlyCollection<AveragingDomain> domains)
{
    // Neighbours are saved along: noise will throw the beam there, and one copy of many costs little more than one of few.
    private const int Chunk = 8;

    private readonly SweepColumns _columns = new(columnCount, verticals, domains);
    private SweepColumns.Tally _tally;
    private int _savedFirst;
    private int _savedEnd;

    /// <summary>First column changed since, or more than any.</summary>
    public int First { get; private set; }

    /// <summary>One past the last column changed since, or 0.</summary>
    public int End { get; private set; }

    /// <summary>Begins at a scan, before anything is changed.</summary>
    public void Start(SweepColumns live)
    {
        _tally = live.State;
        First = _savedFirst = columnCount;
        End = _savedEnd = 0;
    }

    /// <summary>Columns [first, end) are about to be changed.</summary>
    public void Cover(SweepColumns live, int first, int end)
    {
        if (first < First) First = first;
        if (end > End) End = end;
        if (first < _savedFirst || end > _savedEnd) Save(live, first, end);
    }

    /// <summary>Takes back what was changed since.</summary>
    public void Restore(SweepColumns live)
    {
        // What was not touched when it began was unfilled.
        int first = Math.Clamp(_tally.First, First, Math.Max(First, End)), end = Math.Clamp(_tally.End, first, Math.Max(first, End));
        live.ClearRange(First, first);
        if (first < end) live.CopyRange(first, end, _columns);
        live.ClearRange(end, End);
        live.State = _tally;
        Start(live);
    }

    private void Save(SweepColumns live, int first, int end)
    {
        first = Math.Min(first & -Chunk, _savedFirst);
        end = Math.Max(Math.Min(columnCount, (end + Chunk - 1) & -Chunk), _savedEnd);
        if (_savedFirst >= _savedEnd)
        {
            SaveTouched(live, first, end);
        }
        else
        {
            SaveTouched(live, first, _savedFirst);
            SaveTouched(live, _savedEnd, end);
        }

        (_savedFirst, _savedEnd) = (first, end);
    }

    private void SaveTouched(SweepColumns live, int first, int end)
    {
        first = Math.Max(first, _tally.First);
        end = Math.Min(end, _tally.End);
        if (first < end) _columns.CopyRange(first, end, live);
    }
}
