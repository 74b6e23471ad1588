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

        for (; _doubtEnd < doubt.End; _doubtEnd++) ShowInDoubt(_doubtEnd, down);
    }

    private void ShowInDoubt(long scan, bool down)
    {
        // Delays in whole scans are enough for a picture that is drawn anew when the tracker has decided.
        long at = scan + _doubtShift;
        if (at < _doubtFrom || (_blanking?.IsBlanked(_history, _blankingChannel, scan) ?? false)) return;
        int column = _axes.Grid.ColumnOfCode[Math.Min((int)_follower.RampOf(Math.Min(at, scan)), _full)];
        if (column < 0 || !AddLive(scan, column)) return;
        foreach (Trace trace in _traces)
        {
            trace.AdvanceFront(down ? _live.First : _live.End - 1);
            trace.SetFront(column);
        }
    }

    private void WithdrawDoubt()
    {
        if (_doubtFrom < 0) return;
        _doubtFrom = -1;
        _live.Clear();
        foreach (Trace trace in _traces) trace.CancelSweep();
    }
}
