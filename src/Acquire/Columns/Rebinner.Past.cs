using Acquire.Capture;
using Acquire.Sweeps;

namespace Acquire.Columns;

// What left the history while nobody knew that it was the start of a sweep: kept by blocks, filed along the course when it is known.
internal sealed partial class Rebinner
{
    private readonly SweepColumns _past;
    private readonly int _pastScans;

    /// <summary>Scans are about to come while no sweep is under way; keeps the blocks that will leave the history.</summary>
    /// <param name="scans">How many.</param>
    public void KeepPast(int scans)
    {
        for (long end = (_scans.End + _pastScans) & -(long)_pastScans; end <= _scans.End + scans; end += _pastScans)
            if (end > _mask) KeepBlock(end - _mask - 1);
    }

    private void KeepBlock(long start)
    {
        int slot = PastSlotOf(start);
        _past.ClearColumn(slot);
        bool flagged = _flags.AnyOf(start, start + _pastScans);
        int n = Math.Min(_pastScans, ScanBlock.Most);
        for (long scan = start; scan < start + _pastScans; scan += n)
        {
            if (!flagged && _anew.TryLoad(_scans, scan, n)) KeepRun(slot, scan, n);
            else KeepSingly(slot, scan, n);
        }
    }

    private void KeepRun(int slot, long scan, int scans)
    {
        for (int v = 0; v < _channels.Length; v++)
        {
            ref ushort codes = ref _anew.Vertical(v)[ScanBlock.First];
            Add(_past, v, slot, ReadingRun.Of(ref codes, scans, _full), ref codes, scans);
        }

        _past.CloseRun(slot, scan + scans - 1);
    }

    private void KeepSingly(int slot, long from, int scans)
    {
        for (long scan = from; scan < from + scans; scan++)
        {
            if (IsLeftOut(scan)) continue;
            for (int v = 0; v < _channels.Length; v++) _past.Add(v, slot, _scans[scan, _channels[v]], _tables[v]);
            _past.Close(slot, scan, fitted: true, _flags.IsSuspect(scan) ? ColumnMarks.Suspect : ColumnMarks.None);
        }
    }

    /// <summary>Files the blocks at the start of a sweep that has just begun.</summary>
    /// <param name="to">One past the last scan of the last block.</param>
    /// <param name="course">Line through the start of the ramp.</param>
    /// <param name="end">Scan at the line's end.</param>
    public void PlacePast(long to, LineFit course, long end)
    {
        ColumnGrid grid = _fineGrid ?? _grid;
        for (long start = _start; start < to; start += _pastScans)
        {
            int slot = PastSlotOf(start);
            long read = _past.Verticals[0].Counts[slot];
            _live.Count(PlacedKind.Blanked, _pastScans - read);
            double at = start + ((_pastScans - 1) / 2.0) + _shift;
            int column = grid.ColumnOf((long)Math.Round(course.After(at - end) * ColumnGrid.FinePerCode));
            if (column < 0)
            {
                _live.Count(PlacedKind.Overscan, read);
                continue;
            }

            _live.MergeColumn(column, _past, slot);
            _live.CountMerged(column, read, fitted: true, Settles(start) ? ColumnMarks.Settling : ColumnMarks.None);
            Front = column;
            NoteChange(column, column + 1);
        }

        StartStretches();
        _pastCourse = course;
        _pastEnd = end;
        _olderStart = _newerStart = _placedFrom = to;
        _last = to - 1;
    }

    private int PastSlotOf(long start) => (int)((start / _pastScans) & (RampPast.Blocks - 1));
}
