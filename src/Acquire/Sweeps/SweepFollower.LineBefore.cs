namespace Acquire.Sweeps;

// The line on which the ramp was before it left it.
internal sealed partial class SweepFollower
{
    // Of the way: how far a bump's or dip's furthest scan may lie from where it begins, and how much of the ramp the line goes through.
    private const double BumpShare = 0.04, LineShare = 0.05;

    // Of sweeps' usual slope: what is steeper near a start is a flank.
    private const double SteepestYoung = 1.3;

    // Parts of the stretch of which the middle ones count, and by how many deviations the best line must differ for that.
    private const int Parts = 8;
    private const double SlopeDeviations = 4;

    // Drawn on up to the scan at which it left; none where the sweep is too young or too steep for it.
    private LineFit LineBefore(long bump)
    {
        (long from, long to) = StretchBefore(bump);
        if (to - from < LeastOnLine) return default;
        if (_cameBack && _goneOnAt > from) return LineBetween(_goneOnAt, bump);
        bool young = from < FirstKnown;
        if (young) (from, to) = (FirstKnown, bump - ((bump - FirstKnown) / 4));
        if (to - from < LeastOnLine) return default;
        LineFit line = SteadyLine(from, to);
        if (young && _usualSlope > 0 && Math.Abs(line.Slope) > SteepestYoung * _usualSlope) return default;
        return line with { End = line.After(bump - to + 1) };
    }

    /// <summary>How steep the ramp was before its last part, in codes a scan, or 0: that is not known.</summary>
    private double SlopeBefore(long scan)
    {
        (long from, long to) = StretchBefore(scan);
        return to - from < LeastOnLine || from < FirstKnown ? 0 : Math.Abs(_history.Fit(from, to).Slope);
    }

    private (long From, long To) StretchBefore(long scan)
    {
        double scans = ScansAtThisPace;
        long to = scan - (long)(BumpShare * scans);
        return (to - (long)(LineShare * scans), to);
    }

    /// <summary>Line through scans [from, to): through the medians of eighths where a few scans lie so far off, as in a bump too narrow to be noticed, that the best line differs by more than noise makes it.</summary>
    private LineFit SteadyLine(long from, long to)
    {
        LineFit best = _history.Fit(from, to);
        long part = (to - from) / Parts;
        if (part < LeastPart) return best;
        from = to - (part * Parts);
        Span<double> means = stackalloc double[Parts], slopes = stackalloc double[Parts / 2];
        for (int i = 0; i < Parts; i++) means[i] = _history.Mean(from + (i * part), from + ((i + 1) * part));
        for (int i = 0; i < slopes.Length; i++) slopes[i] = (means[i + slopes.Length] - means[i]) / (slopes.Length * part);
        double slope = MedianOf(slopes);
        // The deviation of the slope of the best line through n scans, of least squares: s sqrt(12 / n^3).
        if (Math.Abs(slope - best.Slope) < SlopeDeviations * _sigma * Math.Sqrt(12.0 / best.Scans) / best.Scans) return best;
        for (int i = 0; i < Parts; i++) means[i] += slope * (to - 1 - (from + (i * part) + ((part - 1) / 2.0)));
        return new LineFit(MedianOf(means), slope, to - from);
    }

    /// <summary>The mean of the middle two of an even number of values, which are sorted.</summary>
    private static double MedianOf(Span<double> values)
    {
        values.Sort();
        return (values[(values.Length / 2) - 1] + values[values.Length / 2]) / 2;
    }

    // Shortly behind a bump or dip: from the line before that one through the middle of what has come since.
    private LineFit LineBetween(long from, long bump)
    {
        long to = bump - ((bump - from) / 4);
        LineFit line = _lineBeforeBump;
        if (to - from >= Math.Max(LeastOnLine, BumpShare / 2 * ScansAtThisPace))
        {
            double middle = (from + to - 1) / 2.0;
            line = line with { Slope = (_history.Mean(from, to) - line.End) / (middle - _bumpFrom) };
        }

        return line with { End = line.After(bump - _bumpFrom) };
    }

    // Of a whole sweep that goes as this one has: on a bump's flank the course is no measure.
    private double ScansAtThisPace => Span * Math.Max(1, _peakAt - _start) / Math.Max(1, _peak - _startLevel);
}
