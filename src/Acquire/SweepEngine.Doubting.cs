using Acquire.Columns;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire;

// What may be the start of a sweep: shown before the tracker has decided, withdrawn when it has.
public sealed partial class SweepEngine
{
    private readonly long _doubtShift;
    private long _doubtFrom = -1;
    private long _doubtEnd;

    // Nobody sees the traces while scans are taken: it is enough to show what is in doubt when they publish, and before it leaves the history.
    private void ShowDoubt()
    {
        SweepDoubt doubt = _follower.Doubt;
        if (doubt.From != _doubtFrom) WithdrawDoubt();
        if (doubt.From < 0) return;
        bool down = _direction == RampDirection.Both && !doubt.Rising;
        if (_doubtFrom < 0)
        {
            _doubtFrom = _doubtEnd = doubt.From;
            _live.Clear();
            bool goesOn = doubt.Reason == SweepStart.Gap && GoesOn(_follower.RampOf(doubt.From), down);
            foreach (Trace trace in _traces) trace.BeginSweep(_sweeps, down, goesOn);
        }

        int first = int.MaxValue, end = 0, front = -1;
        for (; _doubtEnd < doubt.End; _doubtEnd++)
        {
            int column = ColumnInDoubt(_doubtEnd);
            if (column < 0 || !AddLive(_doubtEnd, column)) continue;
            first = Math.Min(first, column);
            end = Math.Max(end, column + 1);
            front = column;
        }

        if (front < 0) return;
        for (int c = first; c < end; c++)
            if (_live.IsFilled(c)) PublishLive(c);
        foreach (Trace trace in _traces)
        {
            trace.AdvanceFront(down ? _live.First : _live.End - 1);
            trace.SetFront(front);
        }
    }

    private int ColumnInDoubt(long scan)
    {
        // Delays in whole scans are enough for a picture that is drawn anew when the tracker has decided.
        long at = scan + _doubtShift;
        if (at < _doubtFrom || (_blanking?.IsBlanked(_history, _blankingChannel, scan) ?? false)) return -1;
        return _axes.Grid.ColumnOfCode[Math.Min((int)_follower.RampOf(Math.Min(at, scan)), _full)];
    }

    private void WithdrawDoubt()
    {
        if (_doubtFrom < 0) return;
        _doubtFrom = -1;
        _live.Clear();
        foreach (Trace trace in _traces) trace.CancelSweep();
    }
}
