namespace Acquire.Sweeps;

/// <summary>Finds sweeps on a ramp: learns what it is, then follows it.</summary>
/// <remarks>
/// <code>
///   Learning --ramp found--> (history gone through twice: once for the ends, once for the sweeps) --> Following
///      ^                                                                                                 |
///      +------------------------------- moves that fit no sweep, again and again ------------------------+
/// </code>
/// The history holds about a million scans. A sweep slower than that is followed before its end was seen, with the converter's range
/// for its ends; they are put right when it has ended.
/// </remarks>
internal sealed class SweepTracker
{
    private const int MostBoundaries = 4_096;
    private const int MostRejected = 6;

    private readonly RampHistory _history;
    private readonly RampPast _past;
    private readonly RampLearner _learner;
    private readonly SweepFollower _follower;
    private readonly SweepFollower _scout;
    private readonly EndCollector _ends;
    private readonly ITrackerListener _listener;
    private readonly GoingBack _goingBack;
    private readonly int _full;

    private readonly Boundary[] _boundaries = new Boundary[MostBoundaries];
    private long _boundaryCount;
    private long _replayFrom;
    private SweepStart _replayReason = SweepStart.Begin;
    private bool _early;
    private bool _found;

    private readonly record struct Boundary(long Scan, SweepEnd End, long Lost);

    /// <param name="direction">Direction, or auto.</param>
    /// <param name="fullCode">2^bits - 1.</param>
    /// <param name="given">Edges in codes, low first, or null: learnt.</param>
    /// <param name="listener">Hears what is decided.</param>
    /// <param name="historyScans">Scans kept, a power of two.</param>
    public SweepTracker(
        RampDirection direction, int fullCode, (double Low, double High)? given, ITrackerListener listener, int historyScans)
    {
        _full = fullCode;
        _listener = listener;
        _history = new RampHistory(fullCode, historyScans);
        _learner = new RampLearner(_history, fullCode, direction, given is { } edges ? edges.High - edges.Low : 0);
        _past = new RampPast(_history);
        _follower = new SweepFollower(_history, _past, listener, fullCode);
        _ends = new EndCollector(listener);
        // Learning anew goes through the history three times: learner, scout, follower.
        _goingBack = new GoingBack(earned: 8, 8L * historyScans);
        _scout = new SweepFollower(_history, _past, _ends, fullCode);
    }

    /// <summary>Whether a ramp has been found.</summary>
    public bool Following { get; private set; }

    /// <summary>What was found.</summary>
    public RampLock Found { get; private set; }

    /// <summary>Scans that are known; one less than were pushed until the next one says that the last is no spike.</summary>
    public long End => _history.End;

    /// <summary>Scans before this one have left the history.</summary>
    public long Oldest => _history.Oldest;

    /// <summary>First scan that belongs to no sweep ended so far.</summary>
    public long PendingFrom => Following ? _follower.PendingFrom : _history.End;

    /// <summary>One past the last scan of the retrace after the last sweep.</summary>
    public long RetraceEnd => _follower.RetraceEnd;

    /// <summary>Whether a sweep is under way.</summary>
    public bool InSweep => Following && _follower.InSweep;

    /// <summary>Scans that may be the first of a sweep.</summary>
    public SweepDoubt Doubt => Following ? _follower.Doubt : SweepDoubt.None;

    /// <summary>Deviation of the ramp around its course, or of its fast noise while no ramp is known, in codes.</summary>
    public double NoiseCodes => Following ? _follower.Sigma : _history.Noise.Sigma;

    /// <summary>Swings of a flyback that rings, so large that each would be a sweep but for how it falls.</summary>
    public int FlybackSwings => _follower.Swings;

    /// <summary>Scans gone through so far by all who follow, those gone through again counted again.</summary>
    public long Steps => _follower.Steps + _scout.Steps;

    /// <summary>Ramp without spikes.</summary>
    public ushort this[long scan] => _history[scan];

    /// <summary>Whether scans of the ramp are without spikes as they came.</summary>
    /// <param name="codes">As they came.</param>
    /// <param name="scan">The first; it is in the history.</param>
    public bool Holds(ReadOnlySpan<ushort> codes, long scan) => _history.Holds(codes, scan);

    /// <summary>The leg under way while no ramp is known.</summary>
    public LegUnderWay LearnerLeg => _learner.Leg;

    /// <summary>Whether the ramp stood at a rail just before or just after a sweep.</summary>
    public bool StoodAtRail(in TrackedSweep sweep, bool low)
    {
        int rail = low ? 0 : _full;
        bool atStart = sweep.Rising == low;
        int standing = 0;
        // Two scans may meet the rail by rounding; four are a stop.
        for (int i = 0; i < 4; i++)
        {
            long scan = atStart ? sweep.StartScan - i : sweep.EndScan - 1 + i;
            if (scan >= _history.Oldest && scan < _history.End && _history[scan] == rail) standing++;
        }

        return standing == 4;
    }

    /// <summary>Takes the ramp code of the next scan.</summary>
    public void Push(ushort code)
    {
        if (!InSweep) _past.Keep(1);
        if (_history.Push(code)) Decide();
    }

    /// <summary>Whether scans may be taken many at a time now: the next to enter is a piece's first.</summary>
    public bool TakesBlocks =>
        Following && _history.Noise.IsSettled && _history.Pending is not null && ((_history.End + 1) & (Capture.ScanBlock.Piece - 1)) == 0 && (_follower.IsOnTheWay || _follower.IsResting);

    /// <summary>Puts the ramp before the next block as it is known here.</summary>
    public void Prime(Capture.ScanBlock block)
    {
        block.SetBefore(1, _history.Pending!.Value);
        for (int back = 2; back <= 4; back++) block.SetBefore(back, _history[_history.End + 1 - back]);
    }

    /// <summary>Takes scans within a sweep, see <see cref="SweepFollower.TryRuns"/>.</summary>
    public int TryRuns(Capture.ScanBlock block, int place, Span<CourseLine> lines, Span<long> confirmed)
    {
        int taken = _follower.TryRuns(block, place, lines, confirmed);
        if (taken > 0) _goingBack.Earn((int)(lines[taken - 1].End - lines[0].Start));
        return taken;
    }

    /// <summary>Takes scans of retrace and rest, see <see cref="SweepFollower.TryRest"/>.</summary>
    public int TryRest(Capture.ScanBlock block, int place)
    {
        int taken = _follower.IsResting ? _follower.TryRest(block, place) : 0;
        _goingBack.Earn(taken);
        return taken;
    }

    /// <summary>Whether <see cref="LookForDrift"/> is to be called, when the scans taken are filed and in all histories.</summary>
    public bool IsToLookForDrift => _follower.IsToLookForDrift;

    /// <summary>Looks whether what was taken for the sweep's first part was its rest.</summary>
    /// <returns>Whether the sweep was begun anew.</returns>
    public bool LookForDrift()
    {
        if (!_follower.LookForDrift()) return false;
        DecideFurther();
        return true;
    }

    /// <summary>Scans are missing before the next one.</summary>
    /// <param name="end">Gap or break.</param>
    /// <param name="lostScans">Scans missing, or 0: not known.</param>
    public void EndSegment(SweepEnd end, long lostScans)
    {
        if (_history.Flush()) Decide();
        _boundaries[_boundaryCount++ % MostBoundaries] = new Boundary(_history.End, end, lostScans);
        if (_boundaryCount > MostBoundaries)
        {
            // Too many gaps to remember: what lies before the oldest one known is not gone through again.
            Boundary oldest = _boundaries[_boundaryCount % MostBoundaries];
            if (oldest.Scan > _replayFrom)
            {
                _replayFrom = oldest.Scan;
                _replayReason = oldest.End == SweepEnd.Gap ? SweepStart.Gap : SweepStart.Break;
            }
        }

        _history.StartSegment();
        _learner.StartSegment(_history.End);
        if (Following) _follower.EndSegment(end, lostScans);
    }

    /// <summary>The stream has ended.</summary>
    public void Complete()
    {
        if (_history.Flush()) Decide();
        if (!Following && _learner.Conclude()) Follow(_learner.Found);
        else if (!Following && _found) Start(Found, scout: false, _follower.UsualSlope); // nothing else was found: it is what it was
        if (Following) _follower.EndSegment(SweepEnd.End, 0);
    }

    private void Decide()
    {
        _goingBack.Earn();
        if (Following) _follower.Advance(_history.End);
        DecideFurther();
    }

    private void DecideFurther()
    {
        if (Following)
        {
            if (_early && _follower.Rejected == 0) TrySettle();
            if (_follower.Rejected < MostRejected || !_goingBack.TryTake(3 * (_history.End - _follower.PendingFrom))) return;
            Following = false;
            _replayFrom = _follower.PendingFrom;
            _replayReason = SweepStart.Break;
            _learner.Restart(Math.Max(_replayFrom, _history.Oldest));
        }

        if (_learner.Advance()) Follow(_learner.Found);
        else if ((_history.End & ((_history.Capacity >> 5) - 1)) == 0 && _history.End - _replayFrom > _history.Capacity - (_history.Capacity >> 4)) TryEarly();
    }

    /// <summary>The history is nearly full and no sweep has ended: a straight leg that fills it is a slow sweep.</summary>
    private void TryEarly()
    {
        (long start, int direction, _) = _learner.Leg;
        LineFit fit = _history.Fit(_history.Oldest, _history.End);
        bool up = fit.Slope > 0;
        double sigma = _history.Noise.Sigma;
        double moved = Math.Abs(fit.Slope) * (_history.End - _history.Oldest);
        bool leaving = direction != 0 && start < _history.Oldest + (_history.Capacity >> 3);
        if (moved < Math.Max(10 * sigma, 6) && !leaving) return;
        LegShape shape = new LegJudge(_history).Measure(new RampLeg(up, _history.Oldest, _history.End - 1), sigma);
        if (!shape.Straight) return;
        _early = true;
        RampLock found = new(up ? RampDirection.Rising : RampDirection.Falling, 0, _full, sigma, 0);
        Start(found, scout: true, Math.Abs(fit.Slope));
    }

    private void TrySettle()
    {
        if (_follower.LastEnded is not { StartReason: SweepStart.Ramp, EndReason: SweepEnd.Retrace } sweep) return;
        _early = false;
        double low = Math.Min(sweep.StartCode, sweep.EndCode), high = Math.Max(sweep.StartCode, sweep.EndCode);
        Found = Found with { LowCode = low, HighCode = high };
        _follower.SettleEnds(low, high);
    }

    private void Follow(RampLock found)
    {
        _ends.Reset(found);
        long from = Math.Max(_replayFrom, _history.Oldest);
        _scout.Restart(found, from, from, SweepStart.Begin, scout: true, 0);
        Replay(_scout);
        _scout.EndSegment(SweepEnd.End, 0);
        found = _ends.Settle(found);
        Start(found, scout: false, _ends.UsualSlope);
    }

    private void Start(RampLock found, bool scout, double usualSlope)
    {
        Found = found;
        _found = true;
        Following = true;
        long from = Math.Max(_replayFrom, _history.Oldest), since = from;
        // A sweep that fills the history: what lies before is its rest, as far as it is known.
        if (scout && from > _replayFrom && _history.SegmentStart < from && _past.End >= from)
            since = Math.Max(Math.Max(_replayFrom, _history.SegmentStart), _past.First);
        _listener.Locked(found, since, scout);
        _follower.Restart(found, since, from, since > _replayFrom ? SweepStart.Begin : _replayReason, scout, usualSlope);
        _follower.LearnStartsFrom(_scout);
        Replay(_follower);
    }

    private void Replay(SweepFollower follower)
    {
        long from = Math.Max(_replayFrom, _history.Oldest);
        for (long i = Math.Max(0, _boundaryCount - MostBoundaries); i < _boundaryCount; i++)
        {
            Boundary boundary = _boundaries[i % MostBoundaries];
            if (boundary.Scan <= from) continue;
            follower.Advance(boundary.Scan);
            follower.EndSegment(boundary.End, boundary.Lost);
        }

        follower.Advance(_history.End);
    }
}
