using System.Runtime.CompilerServices;

namespace Acquire.Sweeps;

/// <summary>Where the ramp is, by a straight line through the scans behind it: long enough to take out noise and hum, short enough to
/// follow a bow, started anew at a kink.</summary>
/// <remarks>
/// A line through the last n scans is drawn on over the next L, a fraction of n and a power of two, from a scan whose index plus one is a
/// multiple of L: so that the same scans have the same course however they came, and whole lines can be worked on at once. Where n is
/// small L is 1 and the line goes up to the scan itself: its value there has 4 / n of the variance of one scan; drawn on by n / 7 or less
/// it is up to 6 / n, by a quarter up to 7.8 / n, by the third that lines through 48 to 63 scans are up to 9.3 / n. A bow of share b leaves 0.5 / 12 * (b / 0.05) * w^2 of the range at
/// the start of a line over the share w of it and twice that at its end: 0.03 and 0.06 columns of 1000 at 5 % and w = 3 %.
/// </remarks>
internal sealed partial class RampCourse
{
    private const double WindowShare = 0.034;
    private const long LongestWindow = 1 << 19;

    // How far a mean lies off the course at least where the ramp has left it: of the deviation, of the noise by the root of the scans, of the way.
    private const double KinkSigmas = 1.6;
    private const double KinkNoises = 4.5;
    private const double KinkShare = 0.0005;

    // Fewer scans than this in the window: the line gains less than a bow can cost, the scan's own code is better.
    private const int ShortestWindow = 8;

    // What lies off a line through fewer scans says less of the deviation than is known of it.
    private const int LeastFollowed = 32;

    // The deviation is that of so many scans at least.
    private const long ShortestMemory = 2_048;

    // A mean square counts for no more than so many times the variance.
    private const double MostGrowth = 12.25;

    private readonly RampHistory _history;
    private double _span;
    private double _sigma;
    private double _variance;
    private long _begin;
    private double _slope;
    private double _firstSlope;
    private long _window;

    public RampCourse(RampHistory history) => _history = history;

    /// <summary>The last line; its end is the course at the last scan given to <see cref="At"/>.</summary>
    public LineFit Last { get; private set; }

    /// <summary>Deviation of scans around the course, hum included, in codes.</summary>
    public double Sigma => _sigma;

    // With ripple on the ramp a line shorter than a period or two follows the ripple: neither a course nor a judge of kinks.
    private bool Ripples => _sigma > 2.5 * _history.Noise.Sigma;

    public void Restart(long begin, double slope, double span, double sigma)
    {
        _begin = begin;
        _firstSlope = Math.Abs(slope);
        _span = span;
        SetSlope(slope);
        SetVariance(sigma * sigma);
        _lineStart = _lineEnd = begin;
        _lineScans = 0;
        _heldUntil = 0;
        _cameBack = false;
        Last = new LineFit(_history[begin], slope, 1);
    }

    /// <summary>Course at a scan, the one after the last; NaN where the scan's own code is as good.</summary>
    public double At(long scan)
    {
        if (scan >= _lineEnd)
        {
            if (_lineEnd > _lineStart) CloseLine();
            if (!TryStartLine(scan)) return AtOne(scan);
        }

        AddToLine(_history[scan], scan - _lineStart);
        if (((scan + 2) & (PieceScans - 1)) == 0) ClosePiece(scan + 1);
        Last = LineAt(scan);
        return Last.End;
    }

    /// <summary>The ramp is on a line that is known otherwise; it is followed from the scan after on.</summary>
    /// <param name="last">The line up to there.</param>
    public void TakeOver(LineFit last) => Last = last;

    /// <summary>Sets what the window goes by: when it is known, so that nobody waits for the division.</summary>
    private void SetSlope(double slope)
    {
        _slope = slope;
        // A pause does not make the window longer: the ramp goes on after it as before.
        double reach = WindowShare * _span / double.MaxNative(double.MaxNative(Math.Abs(_slope), 0.5 * _firstSlope), 1e-9);
        _window = reach >= LongestWindow ? LongestWindow : double.ConvertToIntegerNative<long>(reach);
    }

    private double AtOne(long scan)
    {
        long available = Math.Min(scan - _begin + 1, scan + 1 - _history.Oldest);
        long window = _window;
        if (window < ShortestWindow)
        {
            UpdateSteep(scan, available);
            return double.NaN;
        }

        long n = Math.Min(available, window);
        bool ripple = Ripples;
        if (n >= (ripple ? window / 2 : ShortestWindow) && Kink(scan + 1, n, 2, ripple) is var m && m > 0)
        {
            _begin = scan - m + 1;
            n = m;
        }

        if (n < (ripple ? window / 4 : ShortestWindow))
        {
            Last = new LineFit(_history[scan], _slope, 1);
            return double.NaN;
        }

        LineFit fit = _history.Fit(scan - n + 1, scan + 1);
        Last = fit;
        // A short line's slope is noise; the window is set by a long one's.
        if (n >= window / 2) SetSlope(fit.Slope);
        if (n >= LeastFollowed)
        {
            double off = _history[scan] - fit.End;
            FollowSigma(off * off, 1, window);
        }

        return fit.End;
    }

    private void UpdateSteep(long scan, long available)
    {
        long n = Math.Min(available, ShortestWindow);
        Last = n >= 2 ? _history.Fit(scan - n + 1, scan + 1) : new LineFit(_history[scan], _slope, 1);
        Last = Last with { End = _history[scan] };
        if (n >= 4) SetSlope(Last.Slope);
    }

    private void FollowSigma(double meanSquare, long scans, long window)
    {
        SetVariance(Followed(_variance, meanSquare, scans, window));
    }

    private void SetVariance(double variance) => (_variance, _sigma) = (variance, Math.Sqrt(variance));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static double Followed(double variance, double meanSquare, double scans, long window)
    {
        double share = window <= ShortestMemory ? scans * (1.0 / ShortestMemory) : scans / window;
        // Slower than a kink is found, or the kink would hide in its own deviation.
        double most = variance * (1 + (share * (MostGrowth - 1))), followed = (variance * (1 - share)) + (meanSquare * share);
        return double.MaxNative(RampNoise.Floor * RampNoise.Floor, double.MinNative(followed, most));
    }

    /// <summary>Scans since the ramp left the course for good, or 0: it has not.</summary>
    /// <param name="end">One past the last scan looked at.</param>
    /// <param name="n">Scans of the course before it.</param>
    /// <param name="shortest">Shortest stretch to be looked at.</param>
    /// <param name="ripple">There is ripple on the ramp.</param>
    private long Kink(long end, long n, long shortest, bool ripple)
    {
        // Longer stretches are looked at less often: they change slowly, and the places are fixed in the stream.
        for (long m = shortest; m <= n / 4; m *= 4)
        {
            if (((end + 1) & ((m >> 1) - 1)) != 0) break;
            if (ripple && m < 32) continue;
            LineFit before = _history.Fit(end - n, end - m);
            double off = _history.Mean(end - m, end) - before.After((m + 1) / 2.0);
            if (IsOff(off, m, ripple)) return m;
        }

        return 0;
    }

    /// <summary>Whether a mean of so many scans lies further off the course than a ramp that goes on with it.</summary>
    private bool IsOff(double off, long scans, bool ripple) =>
        // What noise adds to the limit takes a root and a division: hardly ever is it asked for.
        Math.Abs(off) > KinkLimit(ripple) && Math.Abs(off) > KinkLimit(Math.Sqrt(scans), ripple);

    private double KinkLimit(bool ripple) => ((ripple ? 2.0 : KinkSigmas) * _sigma) + (KinkShare * _span);

    // Hum keeps a mean within its amplitude, sqrt 2 of its deviation; noise falls with the root of the scans; a bow bends this much.
    private double KinkLimit(double root, bool ripple) =>
        ((ripple ? 2.0 : KinkSigmas) * _sigma) + (KinkNoises * _history.Noise.Sigma / root) + (KinkShare * _span);
}
