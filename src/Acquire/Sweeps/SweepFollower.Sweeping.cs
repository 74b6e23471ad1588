namespace Acquire.Sweeps;

// On the way from edge to edge: place scans, confirm them, notice drops, jumps and halts.
internal sealed partial class SweepFollower
{
    /// <summary>Scans of a block; blocks begin at scans whose index plus one is a multiple of it, since the last scan given waits for one more.</summary>
    public const int BlockScans = Capture.ScanBlock.Scans;

    // What is confirmed goes in steps of so many scans or more, fewer near a sweep's start: each step costs a copy of the columns under way,
    // and the scans of the last two are filed again at the sweep's end.
    private const long LeastConfirmed = 2_048;

    // The highest scan may be so many scans old, whatever the ramp does.
    private const long LeastPatience = 6;

    private void Begin(long start, long known, SweepStart reason, LineFit onset) => Begin(start, start, known, reason, onset);

    /// <param name="start">First scan of the sweep.</param>
    /// <param name="from">First scan to go through, later than the start where that has left the history.</param>
    /// <param name="known">Scan at the end of the onset's line.</param>
    /// <param name="reason">Why it starts there.</param>
    /// <param name="onset">Line through the start of the ramp.</param>
    private void Begin(long start, long from, long known, SweepStart reason, LineFit onset)
    {
        _waited = Waited;
        _state = State.Sweeping;
        _start = start;
        _startReason = reason;
        _onset = onset;
        _onsetKnown = known;
        _startLevel = known - start >= LeastOnLine ? Level(onset.After(start - known)) : Y(start);
        _peak = Y(from);
        _peakAt = from;
        _away = Away.Not;
        (_goneOnAt, _cameBack) = (-1, false);
        _halted = 0;
        _driftDue = start;
        _fitted = false;
        _course.Restart(from, onset.Slope, Span, _sigma);
        _courseAtPeak = new LineFit(_history[from], onset.Slope, 1);
        SetConfirmed(from);
        _onsetLine = CourseLine.Of(from, known + 1, onset.After(from - known), onset.Slope);
        _lineKnown = known - start >= LeastOnLine ? known : from - 1;
        _listener.SweepBegan(start, reason, _rising);
        if (from > start) _listener.PlacePast(from, onset, known);
        _next = from;
    }

    private void Sweep(long scan)
    {
        if (_away != Away.Not)
        {
            SweepAway(scan);
            return;
        }

        double course = CourseOf(scan);
        bool fitted = !double.IsNaN(course);
        _fitted = fitted;
        _listener.Place(scan, course, _course.Last.Slope);
        if (scan == _start) return;

        double y = Y(scan), before = Y(scan - 1);
        double lower = Math.Min(y, before), higher = Math.Max(y, before);
        RenewLimits();
        double h = _limits.Drop, slope = Math.Abs(_courseAtPeak.Slope);
        double jump = Math.Max(_limits.Jump, 4 * slope);
        bool off = scan > _onsetKnown && scan - _start >= 4 && lower > Level(_courseAtPeak.After(scan - _peakAt)) + jump;
        if (off && Y(scan - 2) > Level(_courseAtPeak.After(scan - 2 - _peakAt)) + jump)
        {
            if (TryJump(scan - 2, scan) || TryLeaveDrift(scan, isNoBump: true)) return;
            // A few scans of rest at the beginning of a stretch and the first of a steep ramp.
            if (_startReason != SweepStart.Ramp && scan - _start < 8) _startReason = SweepStart.Ramp;
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
            }
        }

        if ((scan & (BlockScans - 1)) == BlockScans - 2 && _halted == 0 && scan > _lineKnown && !_course.GoesOnAfter(scan))
        {
            if (IsDriftDue(scan) && TryLeaveDrift(scan, isNoBump: false)) return;
            ConfirmBehind(_peakAt);
        }

        if (scan <= _start + 1) return;
        // Where a third scan costs nothing it is waited for: two bad scans side by side are no flyback either.
        if (100 * slope < Span && scan >= _start + 2) higher = Math.Max(higher, Y(scan - 2));
        if (higher < _peak - h)
        {
            if (TryBend(scan, higher)) return;
            if (IsBehindBump(scan)) EndAt(_bumpFrom);
            else if (!TryDip(scan)) EndByDrop(scan);
            return;
        }

        if (_halted == 0 && scan > _onsetKnown && scan - _peakAt > LeastPatience) Halt(scan, Pace);
    }

    private double CourseOf(long scan)
    {
        if (scan <= _lineKnown)
        {
            _course.TakeOver(OnOnset(scan));
            return _course.Last.End;
        }

        double course = _course.At(scan);
        NoteBack(scan);
        return course;
    }

    private LineFit OnOnset(long scan) => new(_onsetLine.Placed(scan), _onsetLine.Slope, _onset.Scans);

    private void SetConfirmed(long scan)
    {
        _confirmed = scan;
        // The first scan that is as far behind it as an eighth of what lies between the start and that scan, in whole scans.
        long since = Math.Max(0, scan - _start), eighth = since < 8 ? 0 : ((since - 8) / 7) + 1;
        _confirmDue = scan + Math.Min(Math.Min(_history.Capacity >> 5, eighth), StepToEnd(scan));
    }

    // The longest step, but once more shortly before the end, so that few scans are filed again when the sweep ends.
    private long StepToEnd(long scan)
    {
        double slope = Math.Abs(_courseAtPeak.Slope), way = _high - Level(_courseAtPeak.After(scan - _peakAt));
        double left = (way / Math.Max(slope, 1e-9)) - (2 * BlockScans);
        return !_scout && left > BlockScans ? (long)Math.Min(left, LeastConfirmed) : LeastConfirmed;
    }

    private void ConfirmBehind(long scan)
    {
        if (TryConfirm(scan)) _listener.Confirm(_confirmed);
    }

    private bool TryConfirm(long scan)
    {
        if (scan < _confirmDue || IsBehindBump(scan)) return false;
        double slope = Math.Max(Math.Abs(_courseAtPeak.Slope), 1e-9);
        // What is not confirmed must be in the history when it is withdrawn.
        double guard = Math.Min(Math.Max(16, 3 * _sigma / slope), Math.Max(16, _history.Capacity / 8));
        if (scan - _confirmed < 2 * guard) return false;
        SetConfirmed(scan - (long)guard);
        return true;
    }

    private void Halt(long scan, double slope)
    {
        double patience = Patience(slope);
        // A little below its end it may go on, as from a converter's wide code: by then it would have got there.
        if (IsNearEnd) patience += (_high - _peak) / Math.Max(slope, 1e-9);
        if (scan - _peakAt <= patience) return;
        long from = Math.Max(FirstKnown, scan - (long)(3 * patience));
        double level = _peak - Math.Max(4 * _sigma, 2);
        // As far back as it takes to see it move, and without the first scans of a flyback.
        long oldest = FirstKnown, to = scan + 1;
        while (from > oldest && Y(from) > level) from = Math.Max(oldest, from - (long)patience);
        from = Math.Max(oldest, from - (long)patience);
        while (to - from > 4 && Y(to - 1) < level - (4 * _sigma)) to--;
        long corner = _corner.Find(_history, from, to, _sigma);
        // It did not stand: it turned.
        if (corner <= from) corner = _corner.Find(_history, from, to = scan + 1, _sigma);
        _haltLevel = _peak;
        _haltMean = Level(_history.Mean(to - Math.Max(2, (long)(patience / 2)), to));
        _halted = corner > from ? MeetAfter(corner, from, to, slope) : _peakAt;
        if (!_scout && Math.Abs(_peak - _high) <= EndTolerance()) EndAt(_halted);
    }

    private bool IsNearEnd => !_scout && _peak < _high && _peak >= _high - EndTolerance();

    // Noise alone lets the highest reading stand for about as long as the ramp needs to move by its reach.
    private double Patience(double slope) => Math.Max(LeastPatience, ((10 * _sigma) + 2) / Math.Max(slope, 1e-9));
}
