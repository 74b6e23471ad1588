using Acquire.Columns;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire;

// What the engine does when the tracker has decided something: file, count, publish, deliver.
public sealed partial class SweepEngine
{
    private readonly AxisKeeper _axes;
    private readonly SweepColumns _one;
    private readonly SweepColumns _live;
    private long _liveFrom = -1;
    private long _sweeps;
    private long _previousSweep = -1;
    private ushort? _markWord;
    private bool _clippedLow;
    private bool _clippedHigh;
    private RampDirection _direction;

    // Counted for good: everything before _counted, which is the first scan of the sweep under way or one past the last sweep.
    private long _counted;
    private long _inColumns;
    private long _overscan;
    private long _retrace;
    private long _rest;
    private long _blanked;
    private long _unassigned;

    /// <summary>Where every scan went so far.</summary>
    /// <remarks>Changes with the engine; a scan in doubt is counted where it is filed now, the one that waits for the next as unassigned.</remarks>
    public Accounting Accounting
    {
        get
        {
            long retrace = _retrace, rest = _rest, unassigned = _unassigned, from = _counted;
            long inColumns = _inColumns, overscan = _overscan, blanked = _blanked;
            if (_follower.InSweep)
            {
                inColumns += _rebinner.InColumns;
                overscan += _rebinner.Overscan;
                blanked += _rebinner.BlankedScans;
                rest += _rebinner.UnfiledScans;
                unassigned += _history.End - _rebinner.End;
            }
            else if (_follower.Following && !_completed)
            {
                long end = Math.Clamp(_follower.RetraceEnd, from, _history.End);
                retrace += end - from;
                rest += _history.End - end;
            }
            else
            {
                unassigned += _history.End - from;
            }

            return new Accounting
            {
                Scans = _history.End,
                InColumns = inColumns,
                Overscan = overscan,
                Retrace = retrace,
                Rest = rest,
                Blanked = blanked,
                Unassigned = unassigned,
                Lost = _loss.Lost,
                Breaks = _breaks,
                InvalidCodes = _invalid,
            };
        }
    }

    /// <summary>What is known of the ramp so far.</summary>
    public RampReport Ramp => new(
        _follower.Found is not null || _sweeps > 0,
        Axis.LowCode,
        Axis.HighCode,
        _follower.NoiseCodes,
        _direction,
        _clippedLow,
        _clippedHigh,
        _axes.Moves);

    private void OnLocked(in RampLock found, long from, bool provisional)
    {
        _unassigned += Math.Max(0, from - _counted);
        _counted = Math.Max(_counted, from);
        _direction = found.Direction;
        if (_blanking is not null)
        {
            _blanking.LearnPolarity();
            _blanking.ForgetVotes();
        }

        _live.Clear();
        if (_axes.Lock(found, provisional)) StartAxis();
        if (provisional && _axes.Learns) _rebinner.UseFineCells(_axes.Fine!);
    }

    private void StartAxis()
    {
        Axis = _axes.Current;
        _rebinner.UseGrid(_axes.Grid);
        foreach (Trace trace in _traces) trace.StartAxis(Axis.Number);
        _previousSweep = -1;
        _rebinner.ForgetChanges();
    }

    private void OnSweepBegan(long scan, SweepStart reason, bool rising)
    {
        CountOutside(scan, _follower.RetraceEnd);
        _rebinner.Begin(scan, settles: reason == SweepStart.Ramp);
        bool down = _direction == RampDirection.Both && !rising;
        foreach (Trace trace in _traces) trace.BeginSweep(_sweeps, down, samePass: reason == SweepStart.Gap && trace.FrontMovesDown == down);
    }

    private void CountOutside(long to, long retraceEnd)
    {
        long end = Math.Clamp(retraceEnd, _counted, Math.Max(_counted, to));
        _retrace += end - _counted;
        _rest += Math.Max(0, to - end);
        _counted = Math.Max(_counted, to);
    }

    private void OnSweepEnded(in TrackedSweep sweep)
    {
        _rebinner.Finish(sweep.EndScan);
        bool wasFine = _rebinner.IsFine;
        bool moved = false;
        bool whole = sweep.StartReason == SweepStart.Ramp && sweep.EndReason == SweepEnd.Retrace;
        if (wasFine && whole)
        {
            // The first whole sweep: its ends are the edges, its cells become columns, once.
            _axes.Move(Math.Min(sweep.StartCode, sweep.EndCode), Math.Max(sweep.StartCode, sweep.EndCode), _axes.Grid.StartsAtLowCode);
            _rebinner.MakeColumns(_axes.Grid);
            Axis = _axes.Current;
            foreach (Trace trace in _traces)
            {
                trace.StartAxis(Axis.Number);
                trace.BeginSweep(_sweeps);
            }

            _rebinner.NoteAllChanged();
        }
        else if (wasFine)
        {
            _rebinner.MakeColumns(_axes.Grid);
            _rebinner.NoteAllChanged();
        }

        SweepColumns columns = _rebinner.Committed;
        _inColumns += columns.InColumns;
        _overscan += columns.Overscan;
        _blanked += columns.Blanked;
        _rest += columns.Unfiled;
        _counted = sweep.EndScan;
        NoteClipping(sweep);
        PublishColumns();
        foreach (Trace trace in _traces)
        {
            trace.EndSweep(sweep.EndReason == SweepEnd.Retrace);
            trace.EndPublish();
        }

        ShareState();
        SweepInfo info = Describe(sweep, columns);
        if (whole) moved = _axes.Watch(sweep, _follower.NoiseCodes);
        _previousSweep = _sweeps++;
        _sink.SweepEnded(new SweepView(info, Axis, columns.Verticals, columns.Marks));
        if (wasFine && !whole) _rebinner.UseFineCells(_axes.Fine!);
        else _rebinner.KeepAsPrevious();
        if (moved) StartAxis();
    }

    private SweepInfo Describe(in TrackedSweep sweep, SweepColumns columns)
    {
        double span = Axis.HighCode - Axis.LowCode;
        double tolerance = (0.01 * span) + (1.5 * sweep.SlopeCodes) + (3 * _follower.NoiseCodes);
        double low = Math.Min(sweep.StartCode, sweep.EndCode), high = Math.Max(sweep.StartCode, sweep.EndCode);
        bool edges = Setup.Sweep.Mode != SweepMode.Swept ||
                     (low <= Axis.LowCode + tolerance && high >= Axis.HighCode - tolerance && !Axis.Provisional);
        int settling = 0;
        foreach (ColumnMarks marks in columns.Marks)
            if ((marks & ColumnMarks.Settling) != ColumnMarks.None) settling++;
        int last = _axes.Grid.ColumnOf((long)Math.Round(sweep.EndCode * ColumnGrid.FinePerCode));
        int tail = _rebinner.Delays && last >= 0 && _rebinner.Front >= 0 ? Math.Abs(last - _rebinner.Front) : 0;
        return new SweepInfo
        {
            Number = _sweeps,
            StartScan = sweep.StartScan,
            EndScan = sweep.EndScan,
            StartPosition = _loss.PositionOf(sweep.StartScan),
            EndPosition = _loss.PositionOf(sweep.EndScan - 1) + 1,
            Complete = sweep.EndReason == SweepEnd.Retrace && edges,
            StartReason = sweep.StartReason,
            EndReason = sweep.EndReason,
            Direction = sweep.Rising ? RampDirection.Rising : RampDirection.Falling,
            ScansInColumns = columns.InColumns,
            ScansFitted = columns.Fitted,
            SuspectScans = columns.Suspect,
            DelayTailColumns = tail,
            SettlingColumns = settling,
            AxisNumber = Axis.Number,
            Section = _section,
            MarkWord = _markWord,
        };
    }

    private void NoteClipping(in TrackedSweep sweep)
    {
        if (Setup.Sweep.Mode != SweepMode.Swept || sweep.EndReason != SweepEnd.Retrace) return;
        // A ramp that only just reaches the rail is not clipped: it has to stand there, one scan more than its step explains.
        if (_follower.StoodAtRail(sweep, low: true)) _clippedLow = true;
        if (_follower.StoodAtRail(sweep, low: false)) _clippedHigh = true;
    }

    private void OnCancelled()
    {
        _rebinner.Abandon();
        PublishColumns();
        foreach (Trace trace in _traces) trace.EndSweep(reachedEnd: false);
    }

    // ---- Publishing -------------------------------------------------------------------------------------------------------------

    private void Publish()
    {
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
            int end = Math.Min(_rebinner.EndChanged, Axis.ColumnCount);
            for (int c = _rebinner.FirstChanged; c < end; c++) PublishColumn(c);
            if (_follower.InSweep && _rebinner.Front >= 0)
                foreach (Trace trace in _traces) trace.AdvanceFront(_rebinner.Front);
        }

        _rebinner.ForgetChanges();
    }

    private void PublishColumn(int column)
    {
        bool filled = _rebinner.Read(column, _one);
        for (int v = 0; v < _traces.Length; v++)
        {
            if (filled)
            {
                _traces[v].PublishColumn(column, _one.Verticals[v], 0, _sweeps, _loss.PositionOf(_one.LastScans[0]), _one.Marks[0]);
            }
            else if (_traces[v].SweepNumbers[column] != _sweeps)
            {
                // Nothing of the sweep under way was shown here, so there is nothing to take back: the trace decides what it keeps.
            }
            else if (_previousSweep >= 0 && _rebinner.Previous.IsFilled(column))
            {
                SweepColumns previous = _rebinner.Previous;
                _traces[v].PublishColumn(
                    column, previous.Verticals[v], column, _previousSweep, _loss.PositionOf(previous.LastScans[column]), previous.Marks[column]);
            }
            else
            {
                _traces[v].ClearColumn(column);
            }
        }
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
                if (_rebinner.Read(cell, _one)) _live.MergeColumn(column, _one, 0);
            PublishLive(column);
        }

        int CoarseOf(int cell) => (int)((long)cell * columns / Rebinner.FineCells);
        int CellOf(int coarse) => (int)(((long)coarse * Rebinner.FineCells + columns - 1) / columns);
    }

    private void PublishLive(int column)
    {
        for (int v = 0; v < _traces.Length; v++)
        {
            if (_live.IsFilled(column))
                _traces[v].PublishColumn(column, _live.Verticals[v], column, _sweeps, _loss.PositionOf(_live.LastScans[column]), ColumnMarks.Provisional);
            else
                _traces[v].ClearColumn(column);
        }
    }

    /// <summary>While no ramp is known: the leg under way, drawn on the range that the axis has so far.</summary>
    private void ShowUnlocked(long scan)
    {
        (long start, int direction) = _follower.Leg;
        int wanted = Setup.Sweep.Direction == RampDirection.Falling ? -1 : 1;
        if (direction != wanted && direction != 0) return;
        if (start != _liveFrom)
        {
            _liveFrom = start;
            for (int c = _live.First; c < _live.End; c++)
            {
                _live.ClearColumn(c);
                PublishLive(c);
            }

            _live.Clear();
        }

        ushort ramp = _history[scan, _rampChannel];
        if (ramp > _full) return;
        int column = _axes.Grid.ColumnOfCode[ramp];
        if (column < 0) return;
        for (int v = 0; v < _traces.Length; v++)
        {
            ushort code = _history[scan, _verticalChannels[v]];
            if (code > _full) return;
            _live.Add(v, column, code, _converters[v].Tables);
        }

        _live.Close(column, scan, fitted: false, ColumnMarks.Provisional);
        PublishLive(column);
    }

    private sealed class Listener(SweepEngine engine) : ITrackerListener, IScanFlags
    {
        public void Locked(in RampLock found, long from, bool provisional) => engine.OnLocked(found, from, provisional);

        public void SweepBegan(long scan, SweepStart reason, bool rising) => engine.OnSweepBegan(scan, reason, rising);

        public void Place(long scan, double course) => engine._rebinner.Place(scan, course);

        public void Confirm(long scan) => engine._rebinner.Confirm(scan);

        public void SweepEnded(in TrackedSweep sweep) => engine.OnSweepEnded(sweep);

        public void SegmentEnded(long end, long retraceEnd) => engine.CountOutside(end, retraceEnd);

        public void SweepCancelled() => engine.OnCancelled();

        public void InSweep(long scan) => engine._blanking?.InSweep(engine._history, engine._blankingChannel, scan);

        public bool IsBlanked(long scan) => engine._blanking?.IsBlanked(engine._history, engine._blankingChannel, scan) ?? false;

        public bool IsSuspect(long scan) => engine._suspect.Contains(scan);
    }
}
