namespace Acquire.Sweeps;

/// <summary>Follows a ramp whose direction and size are known, scan by scan, and says where each sweep starts and ends.</summary>
/// <remarks>
/// <code>
///            onset                       drop, jump, halt at the end
///   Waiting -------> Sweeping ------------------------------------> Waiting
///      ^  (goes back to the sweep's first scan)      (goes back to the first scan after the sweep)
///      |                                  gap, break
///   Entering &lt;----------------------------------------------------- any
/// </code>
/// Everything is written for a ramp that rises; a falling one is mirrored. A decision is taken when the ramp has moved by the
/// hysteresis; the corner is then looked for in the history and the scans since are gone through again in the new state.
/// F1  Scans are given to the listener in order, each once per sweep. F2  A sweep's end is after its start. F3  Going back never goes
/// behind the last corner, so each scan is gone through at most three times.
/// </remarks>
internal sealed class SweepFollower
{
    private enum State
    {
        /// <summary>After a begin, gap or break: the ramp may be anywhere.</summary>
        Entering,

        /// <summary>Retrace or rest.</summary>
        Waiting,

        /// <summary>On the way from edge to edge.</summary>
        Sweeping,
    }

    private readonly RampHistory _history;
    private readonly ISweepListener _listener;
    private readonly RampCourse _course;
    private readonly CornerSearch _corner = new();
    private readonly int _full;

    private State _state;
    private bool _both;
    private bool _rising;
    private bool _scout;
    private double _low;
    private double _high;
    private double _sigma;
    private double _usualSlope;
    private double _lastEnd;

    private long _next;
    private long _end;
    private long _segmentStart;
    private long _from;
    private SweepStart _enteredBy;
    private double _expected;
    private double _expectedSlope;

    // Waiting: running lowest and, drawing both ways, highest of two scans.
    private double _base;
    private double _top;
    private double _retraceBase;
    private long _retraceEnd;

    // Sweeping.
    private long _start;
    private SweepStart _startReason;
    private double _startLevel;
    private LineFit _onset;
    private long _onsetKnown;
    private double _peak;
    private long _peakAt;
    private LineFit _courseAtPeak;
    private long _halted;
    private double _haltLevel;
    private double _haltMean;
    private long _confirmed;
    private bool _fitted;

    public SweepFollower(RampHistory history, ISweepListener listener, int fullCode)
    {
        _history = history;
        _listener = listener;
        _full = fullCode;
        _course = new RampCourse(history);
    }

    /// <summary>Whether a sweep is under way.</summary>
    public bool InSweep => _state == State.Sweeping;

    /// <summary>Whether the ramp draws with rising codes now.</summary>
    public bool Rising => _rising;

    /// <summary>First scan that belongs to no ended sweep.</summary>
    public long PendingFrom => _from;

    /// <summary>One past the last scan of the retrace after the last sweep, as far as it is known; the scans after it are rest.</summary>
    public long RetraceEnd => Math.Max(_from, _retraceEnd);

    /// <summary>Deviation of the ramp around its course, in codes.</summary>
    public double Sigma => _sigma;

    /// <summary>Usual slope of a sweep, in codes per scan, or 0: not known.</summary>
    public double UsualSlope => _usualSlope;

    /// <summary>Scans rejected since the last sweep: moves as large as a sweep that do not start where sweeps start.</summary>
    public int Rejected { get; private set; }

    /// <summary>The last sweep that ended, or null.</summary>
    public TrackedSweep? LastEnded { get; private set; }

    private double Span => _high - _low;

    private double Hysteresis => Math.Max(Math.Max(6 * _sigma, 0.01 * Span), 3);

    // A start is told from a rest by the line through the scans since: more than twice the way, a quarter of the error.
    private double OnsetHysteresis => Math.Max(Math.Max(16 * _sigma, 0.02 * Span), 4);

    /// <summary>Starts over with what was learnt, from a scan on.</summary>
    /// <param name="found">Direction, ends and noise.</param>
    /// <param name="from">First scan to go through.</param>
    /// <param name="reason">Why the stream begins there.</param>
    /// <param name="scout">The ends are a guess: do not use them to end a sweep or to judge its start.</param>
    /// <param name="usualSlope">Slope of a sweep where it is known, otherwise 0.</param>
    public void Restart(RampLock found, long from, SweepStart reason, bool scout, double usualSlope)
    {
        _both = found.Direction == RampDirection.Both;
        _rising = found.Direction != RampDirection.Falling;
        _scout = scout;
        SetEnds(found.LowCode, found.HighCode);
        _sigma = Math.Max(found.NoiseCodes, RampNoise.Floor);
        _usualSlope = usualSlope;
        _lastEnd = double.NaN;
        _next = from;
        _end = from;
        Rejected = 0;
        LastEnded = null;
        Enter(from, reason);
    }

    /// <summary>Moves the ends of the ramp to where whole sweeps were seen to run; from now on they count.</summary>
    public void SettleEnds(double lowCode, double highCode)
    {
        _scout = false;
        SetEnds(lowCode, highCode);
    }

    /// <summary>Goes through scans that have entered the history, up to but without <paramref name="end"/>.</summary>
    public void Advance(long end)
    {
        _end = end;
        while (_next < end)
        {
            long scan = _next++;
            if (_state == State.Sweeping) Sweep(scan);
            else Wait(scan);
        }
    }

    /// <summary>Ends what is under way at a gap, a break or the end of the stream. The scans before it have been gone through.</summary>
    /// <param name="end">Why.</param>
    /// <param name="lostScans">Scans missing, or 0: not known or none.</param>
    public void EndSegment(SweepEnd end, long lostScans)
    {
        if (_state != State.Sweeping && _end - _from >= 2 && TryLateOnset(_end - 1)) Advance(_end);
        double expected = double.NaN, expectedSlope = 0;
        if (_state == State.Sweeping)
        {
            long halted = _halted;
            double level = _course.Last.End;
            double slope = SlopeNow();
            bool atEnd = halted > 0 && !_scout && Math.Abs(Level(level) - TopOf()) <= EndTolerance();
            if (end == SweepEnd.Gap && lostScans > 0 && halted == 0)
            {
                expected = level + (slope * (lostScans + 1));
                expectedSlope = slope;
            }

            Finish(atEnd ? halted : _end, atEnd ? SweepEnd.Retrace : end);
        }

        _listener.SegmentEnded(_end, RetraceEnd);
        Enter(_end, end == SweepEnd.Gap ? SweepStart.Gap : SweepStart.Break);
        _expected = expected;
        _expectedSlope = expectedSlope;
    }

    private void SetEnds(double low, double high)
    {
        _low = _rising ? low : _full - high;
        _high = _rising ? high : _full - low;
    }

    private double Y(long scan) => _rising ? _history[scan] : _full - _history[scan];

    private double Level(double code) => _rising ? code : _full - code;

    private double TopOf() => _high;

    private double EndTolerance() => Math.Max(0.01 * Span, (1.6 * Math.Abs(_courseAtPeak.Slope)) + (3 * _sigma));

    private double SlopeNow()
    {
        double slope = _course.Last.Slope;
        return _fitted || _peakAt <= _start ? slope : (_rising ? 1 : -1) * (_peak - _startLevel) / Math.Max(1, _peakAt - 1 - _start);
    }

    private void Enter(long from, SweepStart reason)
    {
        _state = State.Entering;
        _enteredBy = reason;
        _segmentStart = from;
        _expected = double.NaN;
        StartWaiting(from);
    }

    private void StartWaiting(long from)
    {
        _from = from;
        _base = double.PositiveInfinity;
        _top = double.NegativeInfinity;
        _retraceBase = double.PositiveInfinity;
        _retraceEnd = from;
    }

    private void Flip()
    {
        _rising = !_rising;
        (_low, _high) = (_full - _high, _full - _low);
        (_base, _top) = (_full - _top, _full - _base);
    }

    // ---- Waiting ----------------------------------------------------------------------------------------------------------------

    private void Wait(long scan)
    {
        long first = Math.Max(_from, _segmentStart);
        if (scan <= first)
        {
            if (_state == State.Waiting) _base = Math.Min(_base, Y(scan) + (_both ? Hysteresis : 0));
            return;
        }

        double y = Y(scan), before = Y(scan - 1);
        double lower = Math.Min(y, before), higher = Math.Max(y, before);
        if (_state == State.Entering && scan == first + 1 && ResumesAsExpected(scan)) return;

        double h = Hysteresis;
        if (higher < _base) _base = higher;
        if (lower > _top) _top = lower;
        if (_base <= _retraceBase - h)
        {
            _retraceBase = _base;
            _retraceEnd = scan + 1;
        }

        if (lower > _base + OnsetHysteresis)
        {
            if (TryOnset(scan, late: false)) return;
            _base = lower;
            Rejected++;
        }
        else if (higher < _top - h)
        {
            if (_both)
            {
                Flip();
                if (TryOnset(scan, late: false)) return;
                _base = Level(_history[scan]);
                return;
            }

            if (_state == State.Entering && TryRemnant(scan)) return;
            _top = higher;
            _state = State.Waiting;
        }
    }

    /// <summary>After a gap of known length: the ramp is where it would be had nothing been lost.</summary>
    private bool ResumesAsExpected(long scan)
    {
        if (double.IsNaN(_expected)) return false;
        double tolerance = Math.Max(Math.Max(6 * _sigma, 0.01 * Span), 2 * Math.Abs(_expectedSlope));
        double first = _expected;
        if (Math.Abs(_history[scan - 1] - first) > tolerance || Math.Abs(_history[scan] - first - _expectedSlope) > tolerance)
            return false;
        if (Level(first) > _high + tolerance) return false;
        Begin(scan - 1, scan, SweepStart.Gap, new LineFit(first + _expectedSlope, _expectedSlope, 1));
        return true;
    }

    /// <summary>The end of a sweep, too short to have moved by the hysteresis, between a gap and the flyback.</summary>
    private bool TryRemnant(long scan)
    {
        if (_usualSlope <= 0) return false;
        long last = scan - 1;
        while (last > _from && Y(last) < _top - (Hysteresis / 2)) last--;
        long n = last - _from + 1;
        if (n < 3) return false;
        LineFit fit = _history.Fit(_from, last + 1);
        double slope = _rising ? fit.Slope : -fit.Slope;
        double rise = slope * n;
        if (slope < 0.3 * _usualSlope || slope > 3 * _usualSlope || rise < Math.Max(1.5, 7 * _sigma / Math.Sqrt(n))) return false;
        Begin(_from, last, _enteredBy, fit);
        return true;
    }

    private bool TryLateOnset(long scan)
    {
        long back = Math.Max(_from, scan - 1);
        double now = Math.Min(Y(scan), Y(back));
        if (double.IsInfinity(_base) || now < _base + Math.Max(4 * _sigma, 2)) return false;
        return TryOnset(scan, late: true);
    }

    private bool TryOnset(long scan, bool late)
    {
        long first = Math.Max(_from, _history.Oldest);
        double threshold = _base + (late ? Math.Max(4 * _sigma, 2) : OnsetHysteresis);
        double half = (_base + threshold) / 2;
        long below = scan;
        while (below > first && Y(below) > half) below--;
        long reach = 2 * Math.Max(1, scan - below);
        long start = reach < 8 ? SteepOnset(scan, below, first) : FlatOnset(scan, below, reach, first);
        LineFit fit = _history.Fit(start, scan + 1);
        double slope = _rising ? fit.Slope : -fit.Slope;
        double level = scan - start >= 8 ? Level(fit.After(start - scan)) : Y(start);

        bool inside = _state == State.Entering && start <= first + Math.Max(2, (scan - first) / 20) && start - _segmentStart <= Math.Max(2, (scan - first) / 20);
        SweepStart reason = inside ? _enteredBy : SweepStart.Ramp;
        if (slope <= 0) return false;
        if (!_scout && reason == SweepStart.Ramp && Math.Abs(level - _low) > (0.1 * Span) + (1.5 * slope)) return false;
        if (late && _usualSlope > 0 && (slope < 0.3 * _usualSlope || slope > 3 * _usualSlope)) return false;
        if (late && slope * (scan - start) < Math.Max(2, 6 * _sigma / Math.Sqrt(scan - start + 1))) return false;
        Begin(inside ? _segmentStart : start, scan, reason, fit);
        return true;
    }

    private long SteepOnset(long scan, long below, long first)
    {
        double step = (Y(scan) - Y(below)) / Math.Max(1, scan - below);
        long start = scan;
        while (start > first && Y(start) - Y(start - 1) > 0.3 * step) start--;
        return start;
    }

    private long FlatOnset(long scan, long below, long reach, long first)
    {
        // A flyback may end in a curve: the shorter the stretch before the start, the straighter it is.
        long from = Math.Max(first, scan - (8 * reach / 5));
        double step = OnsetHysteresis / reach * 2;
        double jump = Math.Max(Math.Max(8 * _sigma, 0.02 * Span), 6 * step);
        double high = _base + (9 * _sigma) + (OnsetHysteresis / 16);
        // Only what comes after the flyback: a jump is no part of either line. Once the ramp, gone through backwards, has come down
        // to its foot, whatever lies higher is still the flyback.
        bool atFoot = false;
        for (long i = scan - 1; i > from; i--)
        {
            atFoot |= i <= below && Y(i) <= _base + (5 * _sigma);
            if (Math.Abs(Y(i) - Y(i - 1)) > jump || (atFoot && Math.Min(Y(i), Y(i - 1)) > high))
            {
                from = i;
                break;
            }
        }

        long split = _corner.Find(_history, from, scan + 1, _sigma);
        if (split <= from) return from;
        return Sharpen(split, StraightBack(split, from, Math.Max(first, scan - (8 * reach))), scan + 1);
    }

    /// <summary>How far the level or line before a corner goes back, from <paramref name="from"/> to <paramref name="oldest"/> at most.</summary>
    private long StraightBack(long split, long from, long oldest)
    {
        while (from > oldest)
        {
            long n = split - from;
            if (n < 4) return from;
            long further = Math.Max(oldest, from - n);
            LineFit near = _history.Fit(from, split);
            double level = _history.Mean(from, split);
            double mean = _history.Mean(further, from);
            double most = 3 * _sigma / Math.Sqrt(from - further);
            if (Math.Abs(near.Slope) * n > 3.5 * _sigma * Math.Sqrt(12.0 / n) || Math.Abs(mean - level) > most + (2 * _sigma / Math.Sqrt(n)))
                return from;
            from = further;
        }

        return from;
    }

    /// <summary>Where the line after a corner meets the line, or the level, before it.</summary>
    private long Sharpen(long split, long from, long to)
    {
        // The scans nearest to the split may lie on the wrong side of it.
        long guard = Math.Max(1, Math.Min(split - from, to - split) / 8);
        long before = split - guard - from, after = to - split - guard;
        if (before < 3 || after < 4) return split;
        LineFit pre = _history.Fit(from, split - guard), post = _history.Fit(split + guard, to);
        // A slope has the deviation sigma * sqrt(12 / n^3): below three of these it is a level.
        if (Math.Abs(pre.Slope) < 3 * _sigma * Math.Sqrt(12.0 / before) / before)
            pre = new LineFit(_history.Mean(from, split - guard), 0, before);
        else if (before >= 12)
            pre = _history.Fit(split - guard - (before / 3), split - guard); // a flyback may be curved
        double turn = post.Slope - pre.Slope;
        if (Math.Abs(turn) < 1e-12) return split;
        double preAtSplit = pre.After(guard + 1), postAtSplit = post.After(split - to + 1);
        double meet = split + ((preAtSplit - postAtSplit) / turn);
        double most = Math.Max(3, 0.3 * (to - split));
        if (Math.Abs(meet - split) > most) return split;
        // The lines meet between two scans; the later one is the first on the new line.
        return Math.Clamp((long)Math.Ceiling(meet - 0.5), from, to - 1);
    }

    // ---- Sweeping ---------------------------------------------------------------------------------------------------------------

    private void Begin(long start, long known, SweepStart reason, LineFit onset)
    {
        _state = State.Sweeping;
        _start = start;
        _startReason = reason;
        _onset = onset;
        _onsetKnown = known;
        _startLevel = known - start >= 8 ? Level(onset.After(start - known)) : Y(start);
        _peak = Y(start);
        _peakAt = start;
        _halted = 0;
        _confirmed = start;
        _fitted = false;
        _course.Restart(start, onset.Slope, Span, _sigma);
        _courseAtPeak = new LineFit(_history[start], onset.Slope, 1);
        _listener.SweepBegan(start, reason, _rising);
        _next = start;
    }

    private void Sweep(long scan)
    {
        double course = _course.At(scan);
        bool fitted = !double.IsNaN(course);
        // The first scans lie on the line by which the onset was found; behind it there is nothing yet to fit.
        if (scan <= _onsetKnown && _onsetKnown - _start >= 8)
            course = _onset.After(scan - _onsetKnown);
        _fitted = fitted;
        _listener.Place(scan, course);
        if (scan == _start) return;

        double y = Y(scan), before = Y(scan - 1);
        double lower = Math.Min(y, before), higher = Math.Max(y, before);
        double h = Hysteresis;
        double slope = Math.Abs(_courseAtPeak.Slope);
        double jump = Math.Max(Math.Max(10 * _sigma, 0.04 * Span), 4 * slope);
        bool off = scan > _onsetKnown && scan - _start >= 4 && lower > Level(_courseAtPeak.After(scan - _peakAt)) + jump;
        if (off && Y(scan - 2) > Level(_courseAtPeak.After(scan - 2 - _peakAt)) + jump)
        {
            EndAt(scan - 2);
            return;
        }

        if (lower > _peak && !off)
        {
            if (_halted > 0 && lower > _haltLevel + (h / 2)) _halted = 0;
            _peak = lower;
            _peakAt = scan;
            if (_halted == 0)
            {
                _courseAtPeak = fitted ? _course.Last : new LineFit(Level(Math.Min(y, lower + (1.5 * slope) + (2 * _sigma))), SlopeNow(), 1);
                ConfirmBehind(scan);
            }
        }

        if (scan <= _start + 1) return;
        if (higher < _peak - h)
        {
            EndByDrop(scan);
            return;
        }

        // The course bends when the ramp stops: patience is measured by how fast it came all the way.
        if (_halted == 0 && scan > _onsetKnown) Halt(scan, Math.Max(slope, 0.3 * (_peak - _startLevel) / Math.Max(1, _peakAt - _start)));
    }

    private void ConfirmBehind(long scan)
    {
        double slope = Math.Max(Math.Abs(_courseAtPeak.Slope), 1e-9);
        double guard = Math.Max(16, 3 * _sigma / slope);
        if (scan - _confirmed < 2 * guard) return;
        _confirmed = scan - (long)guard;
        _listener.Confirm(_confirmed);
    }

    private void Halt(long scan, double slope)
    {
        // Noise alone lets the highest reading stand for about as long as the ramp needs to move by its reach.
        double patience = Math.Max(6, ((10 * _sigma) + 2) / Math.Max(slope, 1e-9));
        if (scan - _peakAt <= patience) return;
        long from = Math.Max(Math.Max(_start, _history.Oldest), scan - (long)(3 * patience));
        long corner = _corner.Find(_history, from, scan + 1, _sigma);
        _haltLevel = _peak;
        _haltMean = Level(_history.Mean(scan - Math.Max(2, (long)(patience / 2)) + 1, scan + 1));
        _halted = corner > from ? Sharpen(corner, from, scan + 1) : _peakAt;
        if (!_scout && Math.Abs(_peak - _high) <= EndTolerance()) EndAt(_halted);
    }

    private void EndByDrop(long scan)
    {
        if (_halted > 0)
        {
            EndAt(_halted);
            return;
        }

        // Back to the last scan on the course.
        double off = Math.Max(4 * _sigma, 0.3 * Hysteresis);
        long last = scan - 1;
        while (last > _start && Y(last) < Level(_courseAtPeak.After(last - _peakAt)) - off) last--;
        long end = last + 1;
        if (scan - end >= 12)
        {
            long from = Math.Max(Math.Max(_start, _history.Oldest), end - (2 * (scan - end)));
            long corner = _corner.Find(_history, from, scan + 1, _sigma);
            if (corner > from) end = Sharpen(corner, from, scan + 1);
        }

        else if (scan > end)
        {
            // The first scans of the flyback may still be near the course: back to where its line meets the course.
            double fall = (Y(scan) - Y(end)) / (scan - end), rise = Math.Abs(_courseAtPeak.Slope);
            double under = Level(_courseAtPeak.After(end - _peakAt)) - Y(end);
            bool steady = fall < -rise && under > 0 && under < off + (1.5 * -fall);
            double back = under / Math.Max(rise - fall, 1e-9);
            if (steady && back is > 1.3 and < 8) end = Math.Max(_start + 1, (long)Math.Ceiling(end - back));
        }

        EndAt(end);
    }

    private void EndAt(long end)
    {
        end = Math.Max(end, Math.Max(_start + 1, _confirmed));
        double level = EndLevel(end);
        bool reached = _scout || level >= _high - EndTolerance();
        // Two sweeps that end at the same place, or one that ends beyond: that is where the ramp ends now.
        double half = Math.Abs(_courseAtPeak.Slope) / 2;
        bool again = !reached && Math.Abs(level - _lastEnd) < 0.005 * Span && level > _low + (0.5 * Span);
        if (!_scout && (again || level > _high + EndTolerance()))
        {
            _high = level + half;
            reached = true;
        }
        else if (reached && !_scout)
        {
            _high += 0.5 * (level + half - _high);
        }

        _lastEnd = level;
        Finish(end, reached ? SweepEnd.Retrace : SweepEnd.Abort);
        _state = State.Waiting;
        if (_both) Flip();
        StartWaiting(end);
        // A rest longer than the history: what has left it was rest.
        _next = Math.Max(end, _history.Oldest + 1);
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
        bool valid = (_startReason != SweepStart.Ramp && !still) ||
                     (endLevel - _startLevel >= (whole ? Math.Max(2 * Hysteresis, 0.03 * Span) : 0) && (!whole || end - _start >= 4));
        if (!valid)
        {
            _listener.SweepCancelled();
            Rejected++;
            return;
        }

        _sigma = _course.Sigma;
        double slope = end - _start > 1 ? Math.Max(0, endLevel - _startLevel) / (end - 1 - _start) : 0;
        if (whole && _startReason == SweepStart.Ramp)
        {
            _usualSlope = slope;
            if (!_scout && Math.Abs(_startLevel - _low) < 0.1 * Span) _low += 0.5 * (_startLevel - _low);
            Rejected = 0;
        }

        double startCode = Level(_startLevel), endCode = Level(endLevel);
        TrackedSweep ended = new(_start, end, _startReason, reason, _rising, startCode, endCode, slope);
        LastEnded = ended;
        _listener.SweepEnded(ended);
    }
}
