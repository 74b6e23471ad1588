namespace Acquire.Sweeps;

// Where exactly a sweep has ended, and what it was worth.
internal sealed partial class SweepFollower
{
    // Of the way, before the end: as far as the course looks back.
    private const double CourseShare = 0.034;

    // Of the way: what flies back earlier is a disturbance of the rest.
    private const double LeastSweep = 0.05;

    // Chance makes some scans stand, and the place is chosen at which they do: more than three.
    private const double StandDeviations = 5;

    // Of the sweep: behind the stretch by which its start was told, so much more has nearly the same slope; a bow of 5 % changes it by 0.6 %.
    private const double SameSlopeShare = 0.03;

    private void EndByDrop(long scan)
    {
        if (IsSwing(scan))
        {
            CancelSwing(Math.Max(_start + 1, _peakAt));
            return;
        }

        NoteFlyback(scan);
        if (_halted > 0)
        {
            EndAt(_halted);
            return;
        }

        // Back to the last scan on the course; one behind two that fly back is a spike.
        double off = Math.Max(4 * _sigma, 0.3 * Hysteresis);
        long last = scan - 1;
        while (last > _start && (UnderCourse(last) > off || (last - 2 > _start && UnderCourse(last - 2) > off && Y(last - 2) - Y(last - 1) > off))) last--;
        EndAt(TryStand(last, scan, off, out long stand) ? stand : BeforeStand(last + 1 < scan ? MeetFlyback(last + 1, scan, off) : last + 1));
    }

    /// <summary>Whether it stood before it flew back: it leaves its course there, and has not fallen yet.</summary>
    private bool TryStand(long last, long scan, double off, out long stand)
    {
        long stood = scan - 1;
        while (stood > last && _peak - Y(stood) > off) stood--;
        // The last of them may have begun to fall.
        for (long end = stood + 1; end >= stood && stood > last; end--)
        {
            stand = BeforeStand(end);
            if (stand <= last) return true;
        }

        stand = last + 1;
        return false;
    }

    /// <summary>Whether the last scans before a gap are a flyback's: less evidence will do where there is no more to come.</summary>
    private bool FliesBack()
    {
        double last = Math.Max(Y(_end - 1), Y(_end - 2));
        if (last < _peak - Hysteresis) return !IsBump(_end - 1, last, out _);
        return last < _peak - LateHysteresis && Math.Min(UnderCourse(_end - 1), UnderCourse(_end - 2)) > Math.Max(Math.Max(5 * _sigma, 3), HumSwing);
    }

    /// <summary>Where the ramp has stopped, if it stood a little before it flew back; otherwise the end given.</summary>
    private long BeforeStand(long end)
    {
        if (Hums) return end;
        // Where the course has bent with the ramp, a line from before that says how fast it came.
        double slope = Pace, before = SlopeBefore(_peakAt);
        if (before > 2 * slope) slope = before;
        (long from, long corner) = CornerBefore(end, (long)(3 * Patience(slope)), slope);
        // Of a steep ramp two scans that stand are enough; of a flat one so many that its slope is StandDeviations from none.
        double enough = Math.Pow(StandDeviations * _sigma * Math.Sqrt(12) / Math.Max(1e-9, slope), 2.0 / 3);
        if (corner <= from || end - corner < Math.Max(slope > 6 * _sigma ? 2 : 4, enough)) return end;
        return Stands(corner, end, slope) ? MeetAfter(corner, from, end, slope) : end;
    }

    /// <summary>The corner behind which the ramp stands, in ever longer stretches while the later half of them stands.</summary>
    private (long From, long Corner) CornerBefore(long end, long reach, double slope)
    {
        long oldest = FirstKnown, from, corner;
        do
        {
            from = Math.Max(oldest, end - reach);
            corner = _corner.Find(_history, from, end, _sigma);
            reach *= 2;
        }
        while (corner <= from && from > oldest && Stands(end - (reach / 4), end, slope));
        return (from, corner);
    }

    /// <summary>First scan of what comes after a corner: a level, which the ramp may have jumped to, or a line.</summary>
    private long MeetAfter(long corner, long from, long to, double slope)
    {
        if (corner - from < 3 || to - corner < 2) return corner;
        bool stands = Stands(corner, to, slope);
        Hinge hinge = new(_history, from, to, level: false, stands ? LinePrior.Flat : default);
        return Math.Clamp(FirstOf(hinge, corner, 4, 4, Hums), from, to - 1);
    }

    // The course bends when the ramp stops: what counts is also how fast it came all the way.
    private double Pace => Math.Max(Math.Abs(_courseAtPeak.Slope), 0.3 * (_peak - _startLevel) / Math.Max(1, _peakAt - _start));

    private bool Stands(long from, long to, double slope)
    {
        LineFit fit = _history.Fit(from, to);
        double doubt = 3 * _sigma * Math.Sqrt(12.0 / fit.Scans) / fit.Scans;
        return Math.Abs(fit.Slope) < Math.Max(0.1 * slope, Math.Min(doubt, 0.3 * slope));
    }

    /// <summary>First scan of a flyback: the first scans of a slow one may still be near the course.</summary>
    /// <param name="off">First scan clearly below the course.</param>
    /// <param name="scan">Last scan known.</param>
    /// <param name="reach">What is clearly below, in codes.</param>
    private long MeetFlyback(long off, long scan, double reach)
    {
        double rise = Math.Max(Math.Abs(_courseAtPeak.Slope), 1e-9), under = UnderCourse(off);
        double parting = Math.Max((UnderCourse(scan) - reach + _sigma) / (scan + 1 - off), rise), back = under / parting;
        // What falls by more than that in a scan is off the course at once.
        if (under > reach + (3 * _sigma) + (1.5 * parting) || back <= 1.3) return off;
        long before = Math.Max(8, Math.Max((long)(CourseShare * Span / rise), 2 * (scan - off)));
        long from = Math.Max(FirstKnown, off - (long)back - before);
        if (off - from < 4) return off;
        double meet = new Hinge(_history, from, scan + 1, level: false, default).Meet(off - (long)back, Math.Max(2, (long)back));
        return Math.Clamp(Hinge.ScanAt(meet), _start + 1, scan);
    }

    private double UnderCourse(long scan) => Level(_courseAtPeak.After(scan - _peakAt)) - Y(scan);

    private void EndAt(long end)
    {
        end = Math.Max(end, Math.Max(_start + 1, _confirmed));
        double level = EndLevel(end);
        // A steep ramp's level is that of a scan, and one that was taken for a stand may have been the last on the way.
        if (_courseAtPeak.Scans < 8) level = Math.Max(level, _peak);
        bool reached = _scout || level >= _high - EndTolerance();
        // Two sweeps that end at the same place, or one that ends beyond: that is where the ramp ends now.
        double half = Math.Abs(_courseAtPeak.Slope) / 2;
        bool again = !reached && Math.Abs(level - _lastEnd) < 0.005 * Span && level > _low + (0.5 * Span);
        if (!_scout && (again || level > _high + EndTolerance()))
        {
            _high = level + half;
            reached = true;
        }
        else if (reached && !_scout && Math.Abs(level + half - _high) > half)
        {
            // Within its last step a steep sweep does not say where the end lies.
            _high += 0.5 * (level + half - _high);
        }

        _lastEnd = level;
        Finish(end, reached ? SweepEnd.Retrace : SweepEnd.Abort);
        WaitFrom(end);
    }

    private void WaitFrom(long end)
    {
        _state = State.Waiting;
        if (_both) Flip();
        // A rest longer than the history: what has left it was rest.
        long next = Math.Max(end, _history.Oldest + 1);
        if (!_goingBack.TryTake(_next - next)) next = end = _next;
        StartWaiting(end);
        _next = next;
    }

    private double EndLevel(long end)
    {
        bool halted = _halted > 0 && end == _halted;
        // The last scan may already be on its way back.
        if (_courseAtPeak.Scans < 8) return halted ? _haltMean : Math.Max(Y(end - 1), Y(Math.Max(_start, end - 2)));
        // A ramp that was clipped or stopped did not get where its course was heading.
        double level = Math.Min(Level(_courseAtPeak.After(end - 1 - _peakAt)), _peak + Math.Max(4 * _sigma, 1.5 * Math.Abs(_onset.Slope)));
        // Standing at the end, its level is known better than by the course; turning there, it is the course that says how far it went.
        return halted ? Math.Max(level, _haltMean) : level;
    }

    private void Finish(long end, SweepEnd reason)
    {
        double endLevel = EndLevel(end);
        bool whole = reason is SweepEnd.Retrace or SweepEnd.Abort;
        // Too short to have moved: nothing says that it was a sweep.
        bool still = whole && end - _start < 3 && endLevel - _startLevel < Math.Max(2, 3 * _sigma);
        // Nor does a swing of a rest at the beginning of a recording, which flies back from nowhere near the end.
        still |= _startReason == SweepStart.Begin && reason == SweepEnd.Abort && endLevel - _startLevel < Math.Max(2 * Hysteresis, LeastSweep * Span);
        bool valid = (_startReason != SweepStart.Ramp && !still) ||
                     (endLevel - _startLevel >= (whole ? Math.Max(2 * Hysteresis, LeastSweep * Span) : 0) && (!whole || end - _start >= 4));
        if (!valid || (!whole && _startReason == SweepStart.Ramp && (IsDrift(end) || MayBeSwing(reason))))
        {
            _listener.SweepCancelled();
            Reject(Span);
            return;
        }

        LearnStart(end);
        _sigma = _course.Sigma;
        double slope = end - _start > 1 ? Math.Max(0, endLevel - _startLevel) / (end - 1 - _start) : 0;
        if (whole && _startReason == SweepStart.Ramp)
        {
            _usualSlope = slope;
            if (!_scout && Math.Abs(_startLevel - _low) < 0.1 * Span) _low += 0.5 * (_startLevel - _low);
            ForgetRejected();
        }

        double startCode = Level(_startLevel), endCode = Level(endLevel);
        TrackedSweep ended = new(_start, end, _startReason, reason, _rising, startCode, endCode, slope);
        LastEnded = ended;
        _listener.SweepEnded(ended);
    }

    /// <summary>Remembers how the sweep started, now that more of it is known than when that was decided.</summary>
    private void LearnStart(long end)
    {
        long n = _onsetKnown + 1 - _start, length = end - _start;
        if (_startReason != SweepStart.Ramp || n < 4 || length < n || _start < Math.Max(_startsKnown, _history.Oldest)) return;
        // A ramp may be bowed: its slope somewhat later is another one.
        long scans = Math.Min(length, n + Math.Min(3 * n, (long)(SameSlopeShare * length)));
        Starts.Learn(_history.Fit(_start, _start + scans), _sigma);
        if (_waited >= 0) Starts.LearnWait(_start - _waited);
        _startsKnown = end;
    }
}
