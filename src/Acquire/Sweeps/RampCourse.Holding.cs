using System.Runtime.CompilerServices;

namespace Acquire.Sweeps;

// What a response on the other channel adds to the ramp, or takes from it, is no course of it: a line that the ramp leaves steeply is drawn on until the ramp is back, or long enough for it to go on elsewhere.
internal sealed partial class RampCourse
{
    /// <summary>Share of the way: no bump lasts longer.</summary>
    public const double LongestBump = 0.05;

    // Of the way: so long the ramp has followed its course before, or it may be a swing.
    private const double LeastBefore = 0.06;

    // Of the line's slope: a bump is steeper by so much, a dip less steep by more than all of it, and a line with less than so much of the first one goes through a pause.
    private const double SteeperBump = 0.5, FlatterDip = 1.2, LeastOfFirst = 0.5;

    // Between the slopes of a line and of the one a window before it: more than a ramp's bow makes.
    private const double MostBent = 1.05;

    // To which side of the line the ramp has left it, and at which level while it may stand there; NaN where it does not.
    private int _heldSide;
    private double _standsAt;
    private bool _cameBack;
    private LineFit _lineBack;

    /// <summary>The ramp has left the line.</summary>
    /// <param name="end">One past the line's last scan.</param>
    /// <param name="n">Scans of the line.</param>
    /// <param name="scans">The last of them, which have left it.</param>
    /// <param name="off">Their mean deviation from it.</param>
    /// <param name="ripple">There is ripple on the ramp.</param>
    private void LeaveLine(long end, long n, long scans, double off, bool ripple)
    {
        double slope = Math.Abs(_lineSlope);
        bool up = off * _lineSlope > 0;
        // What leaves the line at once by so much more of its slope lies off it by half of that on the average.
        if (!ripple && (end - _begin) * slope >= LeastBefore * _span && slope >= LeastOfFirst * _firstSlope && Math.Abs(off) >= (up ? SteeperBump : FlatterDip) / 2 * slope * scans && !IsBent(end - scans, up))
        {
            _heldSide = Math.Sign(off);
            _heldUntil = end + (long)(LongestBump / WindowShare * _window);
            _standsAt = up ? double.NaN : LineBegin + (_lineSlope * (n - ((scans + 1) / 2.0))) + off;
            _lineValue += _lineStep * n;
        }
        else
        {
            _begin = end - scans;
        }
    }

    // A line that has taken up a bump's first flank is left where the ramp comes back to its course.
    private bool IsBent(long end, bool upwards)
    {
        long to = end - _window, from = Math.Max(Math.Max(_begin, _history.Oldest), to - _window);
        if (to - from < ShortestWindow) return false;
        double before = Math.Abs(_history.Fit(from, to).Slope), slope = Math.Abs(_lineSlope);
        return upwards ? MostBent * slope < before : slope > MostBent * before;
    }

    private void HoldLine(long scan)
    {
        long place = scan + 1, length = Math.Min(LengthFor(_lineScans, ripples: false), place & -place);
        SetLine(new CourseLine(scan, scan + length, _lineValue, _lineStep, _lineSlope, double.PositiveInfinity));
    }

    /// <summary>A line that was drawn on over a bump has ended: the ramp is back on it, or goes on elsewhere, or neither is told yet.</summary>
    /// <param name="end">One past the line's last scan.</param>
    /// <param name="n">Its scans.</param>
    /// <param name="off">Their mean deviation.</param>
    /// <param name="steeper">By how much the ramp is steeper than the line.</param>
    private void CloseHeld(long end, long n, double off, double steeper)
    {
        double mean = LineBegin + (_lineSlope * (n - 1) / 2) + off;
        _lineValue += _lineStep * n;
        bool isOff = IsOff(off, n, ripple: false), isAcross = isOff && off * _heldSide < 0;
        // A ramp that stands is met by its line, and passed. The deviation of a slope over half of n scans is that of a mean of a third of them.
        isOff |= IsOff(steeper * n / 2, Math.Max(1, n / 3), ripple: false);
        // What has left its line downwards and does not fall further may stand.
        if ((mean - _standsAt) * _lineSlope < 0 && IsOff(mean - _standsAt, n, ripple: false)) _standsAt = double.NaN;
        if (isOff && !isAcross && double.IsNaN(_standsAt) && end < _heldUntil) return;
        _heldUntil = 0;
        _begin = end - n;
        (_cameBack, _lineBack) = (!isOff, Last);
    }

    /// <summary>Says once that the ramp has come back from a bump.</summary>
    /// <param name="last">The line at the last scan before.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public bool TryTakeBack(out LineFit last)
    {
        last = _lineBack;
        if (!_cameBack) return false;
        _cameBack = false;
        return true;
    }
}
