namespace Acquire.Sweeps;

// Retrace, rest, and the first scans after a gap: waiting for the ramp to start or to be found under way.
internal sealed partial class SweepFollower
{
    // More scans than that have moved by enough to be told without their slope.
    private const long LongestPiece = 64;

    // In fewer scans a start seldom lies, and where they lie at the usual slope none is looked for.
    private const long FewScans = 8;

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
        Fall(scan, lower, higher, h, default);
        if (lower > _top) _top = lower;

        if (lower > _base + OnsetHysteresis)
        {
            if (TryOnset(scan, late: false)) return;
            RejectRise(lower);
        }
        else if (higher < _top - (_both ? OnsetHysteresis : h))
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

    /// <summary>Notes how low the ramp has come, and whether it may have begun to move.</summary>
    /// <param name="scan">The scan.</param>
    /// <param name="lower">The lower level of it and the one before it.</param>
    /// <param name="higher">The higher.</param>
    /// <param name="hysteresis">Codes by which a retrace goes on.</param>
    /// <param name="coming">Codes that have not entered the history yet, up to that of the scan.</param>
    private void Fall(long scan, double lower, double higher, double hysteresis, ReadOnlySpan<ushort> coming)
    {
        if (higher < _base) _base = higher;
        Suspect(scan, lower, higher, coming);
        if (_base > _retraceBase - hysteresis) return;
        _retraceBase = _base;
        _retraceEnd = scan + 1;
    }

    /// <summary>Notes that the ramp may have begun to move, or that it did not.</summary>
    private void Suspect(long scan, double lower, double higher, ReadOnlySpan<ushort> coming)
    {
        double enough = DoubtHysteresis, half = _base + Math.Max(enough / 2, 1);
        if (higher < half) DropDoubt();
        else if (_doubtFrom < 0 && lower > _base + enough && lower > _doubtAbove)
        {
            long first = Math.Max(_from, _history.Oldest), below = scan;
            while (below > first && Y(below, coming) > half) below--;
            // Ripple on a rest moves as far, but not as slowly.
            double slope = (lower - half) / Math.Max(1, scan - below);
            bool likely = (_usualSlope <= 0 || (slope > 0.2 * _usualSlope && slope < 8 * _usualSlope)) &&
                          (_scout || _state == State.Entering || _base < _low + (0.1 * Span) + enough);
            if (likely) _doubtFrom = below + 1;
            else _doubtAbove = lower + (enough / 4);
        }
    }

    private double Y(long scan, ReadOnlySpan<ushort> coming) => scan < _history.End ? Y(scan) : Level(coming[(int)(scan - _history.End)]);

    private void DropDoubt()
    {
        _doubtFrom = -1;
        _doubtAbove = double.NegativeInfinity;
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

    /// <summary>One scan between two gaps, where the ramp was expected to be.</summary>
    private void TrySingleScan()
    {
        double tolerance = Math.Max(Math.Max(6 * _sigma, 0.01 * Span), 2 * Math.Abs(_expectedSlope));
        if (double.IsNaN(_expected) || Math.Abs(_history[_from] - _expected) > tolerance || Level(_expected) > _high + tolerance) return;
        Begin(_from, _from, SweepStart.Gap, new LineFit(_expected, _expectedSlope, 1));
        Advance(_end);
    }

    /// <summary>The end of a sweep, too short to have moved by the hysteresis, between a gap and the flyback.</summary>
    private bool TryRemnant(long scan)
    {
        // What has left the history is no short end of a sweep.
        if (_usualSlope <= 0 || _from < _history.Oldest) return false;
        // The highest scan is the last of the sweep: those after it may still be near it.
        long last = _from;
        for (long i = Math.Max(_from, _history.Oldest) + 1; i < scan; i++)
            if (Y(i) >= Y(last)) last = i;
        long n = last - _from + 1;
        if (n < 3) return false;
        LineFit fit = _history.Fit(_from, last + 1);
        double slope = _rising ? fit.Slope : -fit.Slope;
        double rise = slope * n;
        if (slope < 0.3 * _usualSlope || slope > 3 * _usualSlope || rise < Math.Max(1.5, 7 * _sigma / Math.Sqrt(n))) return false;
        Begin(_from, last, _enteredBy, fit);
        return true;
    }

    private bool TryFewScans() => _end - _from <= FewScans && TryShortPiece();

    /// <summary>Some scans between two losses, too few to have moved by the hysteresis, that show the ramp's usual slope.</summary>
    private bool TryShortPiece()
    {
        if (_state != State.Entering || _both || _end - _from > LongestPiece) return false;
        // The last scans may be those of a flyback.
        for (long to = _end; to >= Math.Max(_from + 3, _end - 2); to--)
        {
            double n = to - _from, doubt = _sigma * Math.Sqrt(12 / n) / n;
            // Standing or at the usual slope, it is told by the middle between them: three deviations to either side.
            if (_usualSlope < 6 * doubt || _usualSlope * n < HumSwing) return false;
            LineFit fit = _history.Fit(_from, to);
            double slope = _rising ? fit.Slope : -fit.Slope;
            if (Math.Abs(slope - _usualSlope) > Math.Max(3 * doubt, 0.3 * _usualSlope) || !LieOn(fit, _from, to)) continue;
            Begin(_from, to - 1, _enteredBy, fit);
            return true;
        }

        return false;
    }

    private bool LieOn(LineFit fit, long from, long to)
    {
        for (long scan = from; scan < to; scan++)
            if (Math.Abs(_history[scan] - fit.After(scan - to + 1)) > Math.Max(1.5, 4 * _sigma)) return false;
        return true;
    }

    private bool TryLateOnset(long scan)
    {
        long back = Math.Max(_from, scan - 1);
        double now = Math.Min(Y(scan), Y(back));
        if (double.IsInfinity(_base) || now < _base + LateHysteresis) return false;
        return TryOnset(scan, late: true);
    }
}
