using Acquire.Columns;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire;

// What the engine shows: columns into traces, traces into snapshots.
public sealed partial class SweepEngine
{
    private readonly long[] _positions;

    private void Publish()
    {
        ShowLeg();
        PublishColumns();
        foreach (Trace trace in _traces) trace.EndPublish();
        ShareState();
    }

    private void ShareState() => _snapshots?.Publish(_history.End + _loss.Lost, Axis);

    private void PublishColumns()
    {
        if (_rebinner.IsFine) PublishFine();
        else
        {
            // What counts as passed is how far the columns reach, not where noise has thrown the front at the end of a call.
            int reach = Reach();
            if (_underWay)
                foreach (Trace trace in _traces) trace.DrawBack(reach);
            PublishRange(_rebinner.FirstChanged, Math.Min(_rebinner.EndChanged, Axis.ColumnCount));
            if (_underWay)
            {
                foreach (Trace trace in _traces)
                {
                    if (reach >= 0) trace.AdvanceFront(reach);
                    if (_rebinner.Front >= 0) trace.SetFront(_rebinner.Front);
                }
            }
        }

        _rebinner.ForgetChanges();
    }

    /// <summary>The column furthest along that the sweep under way has filled, or -1; by hand nothing is passed.</summary>
    private int Reach()
    {
        if (!_underWay || _byHand || _rebinner.EndFilled == 0) return -1;
        return _traces[0].FrontMovesDown ? _rebinner.FirstFilled : _rebinner.EndFilled - 1;
    }

    private void PublishRange(int first, int end)
    {
        SweepColumns live = _rebinner.Live;
        if (first >= end) return;
        ReadOnlySpan<long> positions = PositionsOf(live.LastScans, first, end);
        ColumnMarks provisional = Axis.Provisional ? ColumnMarks.Provisional : ColumnMarks.None;
        Span<int> places = stackalloc int[Trace.MostGaps];
        while (first < end)
        {
            int count = 0, next = live.IsFilled(first) ? live.EndOfFilled(first, end, places, out count) : first;
            ReadOnlySpan<int> gaps = places[..count];
            int unfilled = next < end ? live.EndOfUnfilled(next, end) : next;
            for (int v = 0; v < _traces.Length; v++)
            {
                if (first < next) _traces[v].PublishColumns(first, next, gaps, live.Verticals[v], _sweeps, positions, live.Marks, provisional);
                foreach (int gap in gaps) _traces[v].RestoreColumn(gap);
                _traces[v].RestoreColumns(next, unfilled);
            }

            first = unfilled;
        }
    }

    private ReadOnlySpan<long> PositionsOf(ReadOnlySpan<long> scans, int first, int end)
    {
        if (_loss.Lost == 0) return scans;
        for (int c = first; c < end; c++) _positions[c] = _loss.PositionOf(scans[c]);
        return _positions;
    }

    private void PublishFine()
    {
        int columns = Axis.ColumnCount;
        if (_rebinner.FirstChanged >= _rebinner.EndChanged) return;
        int first = CoarseOf(_rebinner.FirstChanged), last = CoarseOf(_rebinner.EndChanged - 1);
        for (int c = first; c <= last; c++)
        {
            int column = _axes.Grid.StartsAtLowCode ? c : columns - 1 - c;
            _live.ClearColumn(column);
            for (int cell = CellOf(c); cell < CellOf(c + 1); cell++)
                _live.MergeColumn(column, _rebinner.Live, cell);
            PublishLive(column);
        }

        if (_rebinner.Front >= 0)
        {
            int front = CoarseOf(_rebinner.Front);
            foreach (Trace trace in _traces) trace.SetFront(_axes.Grid.StartsAtLowCode ? front : columns - 1 - front);
        }

        int CoarseOf(int cell) => (int)((long)cell * columns / Rebinner.FineCells);
        int CellOf(int coarse) => (int)(((long)coarse * Rebinner.FineCells + columns - 1) / columns);
    }

    private void PublishLive(int column)
    {
        for (int v = 0; v < _traces.Length; v++)
        {
            if (_live.IsFilled(column))
                _traces[v].PublishColumn(column, _live.Verticals[v], column, _sweeps + _legs, _loss.PositionOf(_live.LastScans[column]), _live.Marks[column] | ColumnMarks.Provisional);
            else
                _traces[v].ClearColumn(column);
        }
    }

    /// <summary>Shows columns that hold scans which nobody has judged yet.</summary>
    /// <param name="first">First column that may have changed.</param>
    /// <param name="end">One past the last.</param>
    /// <param name="front">Column of the last scan.</param>
    private void ShowLive(int first, int end, int front)
    {
        for (int c = first; c < end; c++)
            if (_live.IsFilled(c)) PublishLive(c);
        foreach (Trace trace in _traces)
        {
            trace.AdvanceFront(trace.FrontMovesDown ? _live.First : _live.End - 1);
            trace.SetFront(front);
        }
    }

    /// <summary>Takes one scan that nobody has judged yet; false where it is beyond the bits.</summary>
    private bool AddLive(long scan, int column)
    {
        if (_history[scan, _rampChannel] > _full) return false;
        foreach (int channel in _verticalChannels)
            if (_history[scan, channel] > _full) return false;
        for (int v = 0; v < _traces.Length; v++) _live.Add(v, column, _history[scan, _verticalChannels[v]], _converters[v].Tables);
        ColumnMarks marks = _suspect.Contains(scan) ? ColumnMarks.Provisional | ColumnMarks.Suspect : ColumnMarks.Provisional;
        _live.Close(column, scan, fitted: false, marks);
        return true;
    }
}
