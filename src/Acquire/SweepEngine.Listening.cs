using Acquire.Columns;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire;

// What the engine does when the tracker has decided something: file, count, deliver.
public sealed partial class SweepEngine
{
    private readonly AxisKeeper _axes;
    private readonly SweepColumns _live;
    private long _sweeps;
    private bool _clippedLow;
    private bool _clippedHigh;
    private RampDirection _direction;

    private bool _underWay;

    /// <summary>What is known of the ramp so far.</summary>
    public RampReport Ramp => new(
        _follower.Found is not null || _sweeps > 0,
        Axis.LowCode,
        Axis.HighCode,
        _follower.NoiseCodes,
        _direction,
        _clippedLow,
        _clippedHigh,
        _axes.Moves,
        _follower.FlybackSwings);

    private void OnLocked(in RampLock found, long from, bool provisional)
    {
        WithdrawDoubt();
        if (_underWay) OnCancelled();
        _retrace -= _retraceSince;
        _rest -= _restSince;
        _counted = _settled;
        // What left the history before anybody could say was never decided; what lies before it otherwise belongs to no sweep.
        if (from <= _history.Oldest + 1)
        {
            _unassigned += Math.Max(0, from - _counted);
            _counted = Math.Max(_counted, from);
        }
        else
        {
            CountOutside(from, _follower.RetraceEnd);
        }

        Settle();
        _direction = found.Direction;
        if (_blanking is not null)
        {
            _blanking.LearnPolarity();
            _blanking.ForgetVotes();
        }

        ForgetLegs();
        if (_axes.Lock(found, provisional)) StartAxis();
        if (provisional && _axes.Learns) _rebinner.UseFineCells(_axes.Fine!);
    }

    private void StartAxis()
    {
        Axis = _axes.Current;
        _rebinner.UseGrid(_axes.Grid);
        foreach (Trace trace in _traces) trace.StartAxis(Axis.Number);
        _rebinner.ForgetChanges();
    }

    private void OnSweepBegan(long scan, SweepStart reason, bool rising)
    {
        WithdrawDoubt();
        CountOutside(scan, _follower.RetraceEnd);
        _underWay = true;
        // Without a ramp that runs by itself nothing flies back, and where the ramp is says nothing of where columns are.
        _rebinner.Begin(scan, settles: _isSwept && reason == SweepStart.Ramp);
        bool down = _direction == RampDirection.Both && !rising;
        bool goesOn = _isSwept && reason == SweepStart.Gap && GoesOn(_history[scan, _rampChannel], down);
        foreach (Trace trace in _traces) trace.BeginSweep(_sweeps, down, goesOn);
    }

    /// <summary>Whether a ramp that was under way after a gap is still on the way across the screen that it was on before it.</summary>
    private bool GoesOn(int ramp, bool down)
    {
        int front = _traces[0].Front;
        if (_rebinner.IsFine || front < 0 || _traces[0].FrontMovesDown != down) return false;
        int column = _axes.Grid.ColumnOfCode[Math.Min(ramp, _full)];
        if (column < 0) return false;
        double noise = 1 + (6 * _follower.NoiseCodes * Axis.ColumnCount / (Axis.HighCode - Axis.LowCode));
        return down ? column <= front + noise : column >= front - noise;
    }

    private void OnSegmentEnded(long end, long retraceEnd)
    {
        WithdrawDoubt();
        CountOutside(end, retraceEnd);
        Settle();
    }

    private void OnSweepEnded(in TrackedSweep tracked)
    {
        TrackedSweep sweep = tracked with { EndScan = _rebinner.Finish(tracked.EndScan) };
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

        SweepColumns columns = _rebinner.Live;
        _inColumns += columns.InColumns;
        _overscan += columns.Overscan;
        _blanked += columns.Blanked;
        _rest += columns.Unfiled;
        _counted = sweep.EndScan;
        Settle();
        NoteClipping(sweep);
        foreach (Trace trace in _traces) trace.SettleSweep();
        PublishColumns();
        _underWay = false;
        foreach (Trace trace in _traces)
        {
            trace.EndSweep(sweep.EndReason == SweepEnd.Retrace);
            trace.EndPublish();
        }

        ShareState();
        SweepInfo info = Describe(sweep, columns);
        if (whole) moved = _axes.Watch(sweep, _follower.NoiseCodes);
        _blanking?.LearnFrom(_history, _blankingChannel, sweep.StartScan, sweep.EndScan);
        _sweeps++;
        _sink.SweepEnded(new SweepView(info, Axis, columns.Verticals, columns.Marks));
        if (wasFine && !whole) _rebinner.UseFineCells(_axes.Fine!);
        if (moved) StartAxis();
    }

    private SweepInfo Describe(in TrackedSweep sweep, SweepColumns columns)
    {
        double span = Axis.HighCode - Axis.LowCode;
        double tolerance = (0.01 * span) + (1.5 * sweep.SlopeCodes) + (3 * _follower.NoiseCodes);
        double low = Math.Min(sweep.StartCode, sweep.EndCode), high = Math.Max(sweep.StartCode, sweep.EndCode);
        bool edges = !_isSwept ||
                     (low <= Axis.LowCode + tolerance && high >= Axis.HighCode - tolerance && !Axis.Provisional);
        long start = _loss.PositionOf(sweep.StartScan);
        (int section, ushort? word) = _marks.At(start);
        return new SweepInfo
        {
            Number = _sweeps,
            StartScan = sweep.StartScan,
            EndScan = sweep.EndScan,
            StartPosition = start,
            EndPosition = _loss.PositionOf(sweep.EndScan - 1) + 1,
            Complete = sweep.EndReason == SweepEnd.Retrace && edges,
            StartReason = sweep.StartReason,
            EndReason = sweep.EndReason,
            Direction = sweep.Rising ? RampDirection.Rising : RampDirection.Falling,
            ScansInColumns = columns.InColumns,
            ScansFitted = columns.Fitted,
            SuspectScans = columns.Suspect,
            DelayTailColumns = DelayTail(sweep.EndCode),
            SettlingColumns = columns.CountMarked(ColumnMarks.Settling),
            AxisNumber = Axis.Number,
            Section = section,
            MarkWord = word,
        };
    }

    /// <summary>Columns between the last reading's and the one that the ramp has reached, which is the last where it ran beyond the edge.</summary>
    private int DelayTail(double endCode)
    {
        if (!_isSwept || !_rebinner.Delays || _rebinner.Front < 0) return 0;
        int last = _axes.Grid.ColumnOf((long)Math.Round(endCode * ColumnGrid.FinePerCode));
        if (last < 0) last = _axes.Grid.IsBefore(last) ? 0 : Axis.ColumnCount - 1;
        return Math.Abs(last - _rebinner.Front);
    }

    private void NoteClipping(in TrackedSweep sweep)
    {
        if (!_isSwept || sweep.EndReason != SweepEnd.Retrace) return;
        // A ramp that only just reaches the rail is not clipped: it has to stand there, one scan more than its step explains.
        if (_follower.StoodAtRail(sweep, low: true)) _clippedLow = true;
        if (_follower.StoodAtRail(sweep, low: false)) _clippedHigh = true;
    }

    private void OnCancelled()
    {
        _underWay = false;
        _rebinner.Abandon();
        _rebinner.ForgetChanges();
        foreach (Trace trace in _traces) trace.CancelSweep();
    }

    private sealed class Listener(SweepEngine engine) : ITrackerListener, IScanFlags
    {
        public void Locked(in RampLock found, long from, bool provisional) => engine.OnLocked(found, from, provisional);

        public void SweepBegan(long scan, SweepStart reason, bool rising) => engine.OnSweepBegan(scan, reason, rising);

        public void PlacePast(long to, LineFit course, long end) => engine._rebinner.PlacePast(to, course, end);

        public void Place(long scan, double course, double slope) => engine._rebinner.Place(scan, course, slope);

        public Capture.ScanBlock? BlockFrom(long scan, int scans) =>
            engine._block is { } block && engine._rebinner.TakesRuns(scan) && !AnyOf(scan, scan + scans) && block.TryLoad(engine._history, scan, scans) ? block : null;

        public void PlaceRun(Capture.ScanBlock block, int scans, in CourseLine line)
        {
            engine._rebinner.FileRuns(block, Capture.ScanBlock.First, [line.UpTo(line.Start + scans)]);
            engine._rebinner.FileHeld();
        }

        public void Confirm(long scan) => engine._rebinner.Confirm(scan);

        public void SweepEnded(in TrackedSweep sweep) => engine.OnSweepEnded(sweep);

        public void SegmentEnded(long end, long retraceEnd) => engine.OnSegmentEnded(end, retraceEnd);

        public void SweepCancelled() => engine.OnCancelled();

        public void InSweep(long scan) => engine._blanking?.InSweep(engine._history, engine._blankingChannel, scan);

        public bool IsBlanked(long scan) => engine._blanking?.IsBlanked(engine._history, engine._blankingChannel, scan) ?? false;

        public bool FollowsLoss(long scan) => engine._loss.IsBefore(scan);

        public bool IsSuspect(long scan) => engine._suspect.Contains(scan);

        public bool AnyOf(long first, long end) => engine._suspect.Reaches(first) || engine.MayBlankAnyOf(first, end);
    }
}
