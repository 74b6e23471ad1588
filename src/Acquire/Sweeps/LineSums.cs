namespace Acquire.Sweeps;

/// <summary>What lines through stretches of the ramp explain of its sum of squares about a level, by least squares.</summary>
/// <remarks>Worked out from the history's sums: a stretch costs the same however long it is.</remarks>
/// <param name="history">The ramp.</param>
/// <param name="origin">The level, in codes.</param>
internal readonly struct LineSums(RampHistory history, double origin)
{
    /// <summary>What a level through scans [from, to) explains.</summary>
    public double Level(long from, long to)
    {
        double off = history.Mean(from, to) - origin;
        return off * off * (to - from);
    }

    /// <summary>What a line through scans [from, to) explains, and its slope.</summary>
    public double Line(long from, long to, out double slope)
    {
        double n = to - from;
        LineFit fit = history.Fit(from, to);
        double off = fit.After(-(n - 1) / 2) - origin;
        slope = fit.Slope;
        return (off * off * n) + (slope * slope * n * ((n * n) - 1) / 12);
    }

    /// <summary>What a line through scans [from, to) explains whose slope is known before.</summary>
    /// <param name="from">First scan.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="prior">What is known of its slope; a jump may lead to it, so its level counts for nothing.</param>
    public double Line(long from, long to, in LinePrior prior)
    {
        double n = to - from, own = n * ((n * n) - 1) / 12, spread = own + prior.SlopeWeight;
        LineFit fit = history.Fit(from, to);
        double off = fit.After(-(n - 1) / 2) - origin, moment = (fit.Slope * own) + (prior.SlopeWeight * prior.Slope);
        return (off * off * n) + (spread <= 0 ? 0 : (moment * moment / spread) - (prior.SlopeWeight * prior.Slope * prior.Slope));
    }

    /// <summary>What two lines explain that meet at a scan, and their slopes.</summary>
    /// <param name="from">First scan of the first.</param>
    /// <param name="corner">First scan of the second.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="level">The first is a level.</param>
    /// <param name="prior">What is known before of the second's slope and of where they meet.</param>
    public (double Explained, double Before, double After) Meeting(long from, long corner, long to, bool level, in LinePrior prior = default)
    {
        (double n1, double x1, double xx1, double y1, double xy1) = Sums(from, corner, corner);
        (double n2, double x2, double xx2, double y2, double xy2) = Sums(corner, to, corner);
        xx2 += prior.SlopeWeight;
        xy2 += prior.SlopeWeight * prior.Slope;
        double met = prior.Level - origin, n = n1 + n2 + prior.LevelWeight, y = y1 + y2 + (prior.LevelWeight * met);
        double tilt = level ? 0 : x1 / xx1, rise = x2 / xx2;
        double value = (y - (tilt * xy1) - (rise * xy2)) / (n - (tilt * x1) - (rise * x2));
        double after = (xy2 - (x2 * value)) / xx2;
        double before = level ? 0 : (xy1 - (x1 * value)) / xx1;
        return ((value * y) + (before * xy1) + (after * xy2) - (prior.SlopeWeight * prior.Slope * prior.Slope) - (prior.LevelWeight * met * met), before, after);
    }

    /// <summary>Of scans [from, to) with their time from the corner: number, sums of time, its square, code, and time by code.</summary>
    private (double N, double X, double XX, double Y, double XY) Sums(long from, long to, long corner)
    {
        if (to == from) return default;
        double n = to - from, middle = ((from + to - 1) / 2.0) - corner, spread = n * ((n * n) - 1) / 12;
        LineFit fit = history.Fit(from, to);
        double mean = fit.After(-(n - 1) / 2) - origin;
        return (n, n * middle, spread + (n * middle * middle), n * mean, (fit.Slope * spread) + (n * middle * mean));
    }
}
