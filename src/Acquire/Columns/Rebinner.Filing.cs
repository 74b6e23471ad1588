namespace Acquire.Columns;

// Which column one scan belongs to, and what goes into it.
internal sealed partial class Rebinner
{
    private void Enter(long scan, int placed)
    {
        _placed[scan & _mask] = placed;
        RememberSingle(scan);
        _last = scan;
        File(scan, placed);
        if (placed < 0) return;
        int column = placed & ColumnBits;
        Front = column;
        NoteChange(column, column + 1);
    }

    private bool IsLeftOut(long scan)
    {
        if (_flags.IsBlanked(scan) || _scans[scan, _rampChannel] > _full) return true;
        foreach (int channel in _channels)
            if (_scans[scan, channel] > _full) return true;
        return false;
    }

    private int Notes(long scan)
    {
        int notes = Settles(scan) ? SettlingBit : 0;
        return _flags.IsSuspect(scan) ? notes | SuspectBit : notes;
    }

    private bool Settles(long scan) => _settles && scan - _start < _settle;

    private int Decide(long scan, double course)
    {
        ColumnGrid grid = _fineGrid ?? _grid;
        bool fitted = !double.IsNaN(course);
        int column;
        if (_shift != 0)
        {
            if (scan + _whole < _start) return Unfiled;
            column = grid.ColumnOf(ShiftedFine(scan));
        }
        else
        {
            column = fitted
                ? grid.ColumnOf((long)Math.Round(course * ColumnGrid.FinePerCode))
                : grid.ColumnOfCode[_scans[scan, _rampChannel]];
        }

        if (column < 0) return column;
        return (fitted ? column | FittedBit : column) | Notes(scan);
    }

    private void File(long scan, int placed)
    {
        if (placed < 0)
        {
            _live.Count(placed switch { Blanked => PlacedKind.Blanked, Unfiled => PlacedKind.Unfiled, _ => PlacedKind.Overscan });
            return;
        }

        int column = placed & ColumnBits;
        _newer.Cover(_live, column, column + 1);
        for (int v = 0; v < _channels.Length; v++) _live.Add(v, column, _scans[scan, _channels[v]], _tables[v]);
        CloseFiled(scan, placed);
    }

    private void CloseFiled(long scan, int placed)
    {
        ColumnMarks marks = ((placed & SettlingBit) != 0 ? ColumnMarks.Settling : ColumnMarks.None) |
                            ((placed & SuspectBit) != 0 ? ColumnMarks.Suspect : ColumnMarks.None);
        _live.Close(placed & ColumnBits, scan, (placed & FittedBit) != 0, marks);
    }
}
