namespace Acquire.Columns;

// What stands, and what is taken back when the sweep has ended before the last scan filed.
internal sealed partial class Rebinner
{
    /// <summary>Scans before this one will not be withdrawn.</summary>
    public void Confirm(long scan)
    {
        if (scan < _newerStart) return;
        FileHeld();
        (_older, _newer) = (_newer, _older);
        _newer.Start(_live);
        _olderStart = _newerStart;
        _newerStart = _last + 1;
    }

    /// <summary>Ends the sweep: what lies from <paramref name="end"/> on is withdrawn, the rest is committed.</summary>
    /// <returns>Where the columns end: before <paramref name="end"/> only where doubt has lasted longer than the history, so that a stretch
    /// could be neither kept whole nor filed anew and was withdrawn.</returns>
    public long Finish(long end)
    {
        if (end <= _last)
        {
            long from = _newerStart;
            TakeBack(_newer);
            if (end < _newerStart)
            {
                from = _olderStart;
                TakeBack(_older);
            }

            // Where the ramp was that the first of them belongs to has to be known too.
            if (Math.Max(_start, from + _whole) < _scans.Oldest) end = from;
            FileAnew(from, end);
            long reached = end - 1, oldest = Math.Max(_start, _scans.Oldest);
            int front = -1;
            while (reached >= oldest && (front = PlacedAt(reached)) < 0) reached--;
            if (reached >= oldest) Front = front & ColumnBits;
            else if (oldest == _start) Front = -1;
        }

        StartStretches();
        _olderStart = _newerStart = end;
        _last = end - 1;
        return end;
    }

    /// <summary>Drops the sweep under way.</summary>
    public void Abandon()
    {
        NoteChange(_live.First, _live.End);
        _live.Clear();
        StartStretches();
    }

    private void StartStretches()
    {
        _older.Start(_live);
        _newer.Start(_live);
    }

    private void TakeBack(SavedColumns stretch)
    {
        NoteChange(stretch.First, stretch.End);
        stretch.Restore(_live);
    }
}
