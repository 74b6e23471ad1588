namespace Acquire.Sweeps;

/// <summary>Where the ramp is, by a straight line through the scans behind it: long enough to take out noise and hum, short enough to
/// follow a bow, started anew at a kink.</summary>
/// <remarks>
/// The line's value at its last scan has 4 / n of the variance of one scan. A bow of share b leaves 0.4 / 12 * (b / 0.05) * w^2 of the
/// range for a line over the share w of it: 0.03 columns of 1000 at 5 % and w = 3 %.
/// </remarks>
internal sealed class RampCourse
{
    private const double WindowShare = 0.03;
    private const long LongestWindow = 1 << 19;

    // Fewer scans than this in the window: the line gains less than a bow can cost, the scan's own code is better.
    private const int ShortestWindow = 8;

    private readonly RampHistory _history;
    private double _span;
    private double _sigma;
    private long _begin;
    private double _slope;
    private double _firstSlope;

    public RampCourse(RampHistory history) => _history = history;

    /// <summary>The last line; its end is the course at the last scan given to <see cref="At"/>.</summary>
    public LineFit Last { get; private set; }

    /// <summary>Deviation of scans around the course, hum included, in codes.</summary>
    public double Sigma => _sigma;

    public void Restart(long begin, double slope, double span, double sigma)
    {
        _begin = begin;
        _slope = slope;
        _firstSlope = Math.Abs(slope);
        _span = span;
        _sigma = sigma;
        Last = new LineFit(_history[begin], slope, 1);
    }

    /// <summary>Course at a scan, from it and the scans before it; NaN where the scan's own code is as good.</summary>
    public double At(long scan)
    {
        long available = Math.Min(scan - _begin + 1, scan + 1 - _history.Oldest);
        // A pause does not make the window longer: the ramp goes on after it as before.
        double reach = WindowShare * _span / Math.Max(Math.Max(Math.Abs(_slope), 0.5 * _firstSlope), 1e-9);
        long window = reach >= LongestWindow ? LongestWindow : (long)reach;
        if (window < ShortestWindow)
        {
            UpdateSteep(scan, available);
            return double.NaN;
        }

        long n = Math.Min(available, window);
        // With ripple on the ramp a line shorter than a period or two follows the ripple: neither a course nor a judge of kinks.
        bool ripple = _sigma > 2.5 * _history.Noise.Sigma;
        if (n >= (ripple ? window / 2 : ShortestWindow) && Kink(scan, n, ripple) is var m && m > 0)
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
        if (n >= window / 2) _slope = fit.Slope;
        if (n >= 32)
        {
            // Slower than a kink is found, or the kink would hide in its own deviation.
            double off = Math.Min(Math.Abs(_history[scan] - fit.End), 3.5 * _sigma);
            _sigma = Math.Max(RampNoise.Floor, Math.Sqrt((_sigma * _sigma) + (((off * off) - (_sigma * _sigma)) / Math.Max(2_048, window))));
        }

        return fit.End;
    }

    private void UpdateSteep(long scan, long available)
    {
        long n = Math.Min(available, ShortestWindow);
        Last = n >= 2 ? _history.Fit(scan - n + 1, scan + 1) : new LineFit(_history[scan], _slope, 1);
        Last = Last with { End = _history[scan] };
        if (n >= 4) _slope = Last.Slope;
    }

    /// <summary>Scans since the ramp left the course for good, or 0: it has not.</summary>
    private long Kink(long scan, long n, bool ripple)
    {
        // Longer stretches are looked at less often: they change slowly, and the places are fixed in the stream.
        for (long m = 2; m <= n / 4; m *= 4)
        {
            if ((scan & ((m >> 1) - 1)) != 0) break;
            if (ripple && m < 32) continue;
            LineFit before = _history.Fit(scan - n + 1, scan - m + 1);
            double off = _history.Mean(scan - m + 1, scan + 1) - before.After((m + 1) / 2.0);
            // Hum keeps a mean within its amplitude, sqrt 2 of its deviation; noise falls with the root of m; a bow bends this much.
            double limit = ((ripple ? 2.0 : 1.6) * _sigma) + (4.5 * _history.Noise.Sigma / Math.Sqrt(m)) + (0.0005 * _span);
            if (Math.Abs(off) > limit) return m;
        }

        return 0;
    }
}
