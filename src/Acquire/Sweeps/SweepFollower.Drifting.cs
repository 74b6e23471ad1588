namespace Acquire.Sweeps;

// A rest that drifts, as behind a coupling capacitor, may rise by as much as a start is told by: the ramp then begins where it turns up.
internal sealed partial class SweepFollower
{
    // Of the ramp's slope: what rises by less before a corner near the start is its rest.
    private const double MostDrift = 0.5;

    // The same where one of both parts is mixed of rest and ramp.
    private const double MostMixed = 0.75;

    // Of the way: a corner further on is one of the ramp.
    private const double LongestDrift = 0.3;

    // Places at which it is looked whether looking is worth it, in eighths.
    private static readonly int[] Splits = [1, 2, 4, 6, 7];

    // Fewer scans have no slope.
    private const long LeastPart = 4;

    // Of the way: what has risen less since it turned up may be a bump.
    private const double LeastTurned = 0.15;

    // Looked for again after half as many scans more.
    private long _driftDue;

    private bool IsDriftDue(long scan) => _driftDue >= 0 && scan >= _driftDue;

    /// <summary>Looks for the end of a drift after a run.</summary>
    /// <returns>Whether the sweep was begun anew, and what was gone through has been gone through again.</returns>
    public bool LookForDrift()
    {
        if (!TryLeaveDrift(_next - 1, isNoBump: false))
        {
            ConfirmBehind(_peakAt);
            return false;
        }

        Advance(_end);
        return true;
    }

    /// <summary>Begins the sweep anew where a rest that was taken for its first part turns into the ramp.</summary>
    /// <param name="scan">The last scan gone through.</param>
    /// <param name="isNoBump">What has turned up is known not to come back.</param>
    /// <returns>Whether it was begun anew.</returns>
    private bool TryLeaveDrift(long scan, bool isNoBump)
    {
        if (_driftDue < 0) return false;
        long first = FirstKnown;
        _driftDue = !_scout && _peak - _startLevel > LongestDrift * Span ? -1 : scan + Math.Max(BlockScans, (scan - first) / 2);
        if (Hums || !TryFindTurn(first, scan, out long turn, out double slope) || WasAway(turn)) return false;
        double left = (LeastTurned * Span) - (slope * (scan - turn));
        if (!isNoBump && left > 0)
        {
            if (_driftDue > 0) _driftDue = Math.Min(_driftDue, scan + Math.Max(BlockScans, (long)(left / slope)));
            return false;
        }

        long known = Math.Min(scan, turn + Math.Max(LeastPart, (long)(OnsetHysteresis / slope)));
        _base = Level(_history.Fit(turn, known + 1).After(turn - known));
        if (!_scout && _startReason == SweepStart.Ramp && Math.Abs(_base - _low) > (0.1 * Span) + (1.5 * slope)) return false;
        long start = FlatOnset(known, turn, known + 1 - turn, first);
        if (start <= first || !_goingBack.TryTake(_next - start)) return false;
        _listener.SweepCancelled();
        Begin(start, known, SweepStart.Ramp, _history.Fit(start, known + 1));
        return true;
    }

    /// <summary>Whether what began before the stream was cut was a drifting rest by all that is known: it rose a little, and far slower than sweeps do.</summary>
    private bool IsDrift(long end)
    {
        long first = FirstKnown;
        double n = end - first;
        if (_scout || _usualSlope <= 0 || n < LeastCurve || _peak - _startLevel > 0.1 * Span) return false;
        double rise = _history.Fit(first, end).Slope, doubt = 3 * _sigma * Math.Sqrt(12.0 / n) / n;
        return (_rising ? rise : -rise) + doubt < MostDrift * _usualSlope;
    }

    private bool TryFindTurn(long first, long scan, out long turn, out double slope)
    {
        (turn, slope) = (first, 0);
        if (!HasRisen(scan) || !MayTurnUp(first, scan + 1)) return false;
        turn = _corner.Find(_history, first, scan + 1, _sigma);
        if (!TurnsUp(first, turn, scan + 1, out slope)) return false;
        // A ramp may be curved: its first part tells where it begins.
        long part = Math.Max(LeastCurve, (long)(2 * OnsetHysteresis / slope)), end = Math.Min(scan, turn + part) + 1;
        long near = _corner.Find(_history, Math.Max(first, turn - (2 * part)), end, _sigma);
        if (TurnsUp(first, near, end, out double nearSlope)) (turn, slope) = (near, nearSlope);
        return true;
    }

    /// <summary>Whether the ramp may have moved by what a start is told by since it turned up: below the start it was by less than what ends a sweep.</summary>
    private bool HasRisen(long scan) =>
        Math.Max(_peak, Math.Min(Y(scan), Y(scan - 1))) - _startLevel >= OnsetHysteresis - Hysteresis - (6 * _sigma);

    /// <summary>Whether it is worth looking for a turn: split at some places, the later part rises clearly faster than the earlier one somewhere.</summary>
    private bool MayTurnUp(long first, long end)
    {
        RunningSums start = _history.UpTo(first), stop = _history.UpTo(end);
        foreach (int eighths in Splits)
        {
            long split = first + ((end - first) * eighths / 8);
            // Sums are known at blocks' ends, and for the most part at pieces'.
            long grain = end - first > 16 * BlockScans ? BlockScans : end - first > 16 * PieceScans ? PieceScans : 1;
            split = ((split + 1) & -grain) - 1;
            RunningSums middle = _history.UpTo(split);
            double before = start.LineTo(middle, out _).Slope, after = middle.LineTo(stop, out _).Slope;
            if ((_rising ? before : -before) < MostMixed * (_rising ? after : -after)) return true;
        }

        return false;
    }

    /// <summary>Whether the ramp, having moved by what a start is told by, rises clearly faster after a scan than before.</summary>
    private bool TurnsUp(long from, long at, long to, out double slope)
    {
        slope = 0;
        if (at - from < LeastPart || to - at < LeastPart) return false;
        double before = _history.Fit(from, at).Slope, after = _history.Fit(at, to).Slope, drift = _rising ? before : -before;
        slope = _rising ? after : -after;
        return drift <= MostDrift * slope && slope * (to - at) >= OnsetHysteresis && (!HasMoved(from, at, slope) || HasSwung(from, at, slope));
    }

    /// <summary>Whether a stretch begins with the ramp, which has halted then: its first part, of whatever length, rises too fast.</summary>
    private bool HasMoved(long from, long to, double slope)
    {
        for (long n = to - from; n >= LeastCurve; n /= 2)
        {
            double rise = _history.Fit(from, from + n).Slope, doubt = 3 * _sigma * Math.Sqrt(12.0 / n) / n;
            if ((_rising ? rise : -rise) > (MostDrift * slope) + doubt) return true;
        }

        return false;
    }
}
