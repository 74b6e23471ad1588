using Acquire.Capture;
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
        ShowRunsInDoubt(doubt.End, ref first, ref end, ref front);
        for (; _doubtEnd < doubt.End; _doubtEnd++)
        {
            int column = ColumnUnjudged(_doubtEnd, _doubtFrom);
            if (column < 0 || !AddLive(_doubtEnd, column)) continue;
            first = Math.Min(first, column);
            end = Math.Max(end, column + 1);
            front = column;
        }

        if (front >= 0) ShowLive(first, end, front);
    }

    /// <summary>Takes scans in doubt many at a time, as far as each is filed by its own code without more to be known of it.</summary>
    private void ShowRunsInDoubt(long to, ref int first, ref int end, ref int front)
    {
        if (_block is null || _doubtShift != 0 || Setup.Columns.Domains.Count > 0) return;
        ReadOnlySpan<int> columnOfCode = _axes.Grid.ColumnOfCode;
        Span<int> columns = stackalloc int[ScanBlock.Most];
        while (to - _doubtEnd >= ScanBlock.Piece)
        {
            int n = (int)Math.Min(ScanBlock.Most, to - _doubtEnd) & -ScanBlock.Piece;
            if (_suspect.Reaches(_doubtEnd) || MayBlankAnyOf(_doubtEnd, _doubtEnd + n) || !_block.TryLoad(_history, _doubtEnd, n)) return;
            ReadOnlySpan<ushort> ramp = _block.Ramp.AsSpan(ScanBlock.First, n);
            if (!_tracker!.Holds(ramp, _doubtEnd)) return;
            ScanColumns.OfCodes(columnOfCode, ramp, columns[..n]);
            if (ScanColumns.RangeOf(columns[..n], out int low, out int high, out int last) is var filed and > 0)
            {
                for (int v = 0; v < _traces.Length; v++) _live.AddEach(v, ramp, columnOfCode, ref _block.Vertical(v)[ScanBlock.First], _doubtEnd);
                _live.CountRuns(low, high + 1, filed, fitted: false);
                first = Math.Min(first, low);
                end = Math.Max(end, high + 1);
                front = last;
            }

            _doubtEnd += n;
        }
    }

    /// <summary>Column of a scan of which nobody knows yet whether it is of a sweep that begins at another, or -1.</summary>
    private int ColumnUnjudged(long scan, long from)
    {
        // Delays in whole scans are enough for a picture that is drawn anew when the tracker has decided.
        long at = scan + _doubtShift;
        if (at < from || (_blanking?.IsBlanked(_history, _blankingChannel, scan) ?? false)) return -1;
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
