using System.Runtime.CompilerServices;

namespace Acquire.Sweeps;

/// <summary>What lines through stretches of the ramp explain of its sum of squares about a level, by least squares.</summary>
/// <remarks>Worked out from the history's sums: a stretch costs the same however long it is.</remarks>
/// <param name="history">The ramp.</param>
/// <param name="origin">The level, in codes.</param>
internal readonly struct LineSums(RampHistory history, double origin)
{
    /// <summary>What is to be known of scans [from, to), to ask more than one thing of them.</summary>
    public LinePart Of(long from, long to) => from == to ? default : Of(history.UpTo(from), history.UpTo(to));

    /// <summary>What is to be known of the scans between running sums.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public LinePart Of(in RunningSums from, in RunningSums to)
    {
        if (from.End == to.End) return default;
        double n = to.End - from.End;
        LineFit fit = from.LineTo(to, out double mean);
        return new LinePart(n, n * ((n * n) - 1) / 12, mean - origin, fit.After(-(n - 1) / 2) - origin, fit.Slope);
    }

    /// <summary>What a level through scans [from, to) explains.</summary>
    public double Level(long from, long to)
    {
        double off = history.Mean(from, to) - origin;
        return off * off * (to - from);
    }

    /// <summary>What a line through scans [from, to) explains, and its slope.</summary>
    public double Line(long from, long to, out double slope)
    {
        LinePart part = Of(from, to);
        slope = part.Slope;
        return part.Line;
    }

    /// <summary>What a line through scans [from, to) explains whose slope is known before.</summary>
    /// <param name="from">First scan.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="prior">What is known of its slope; a jump may lead to it, so its level counts for nothing.</param>
    public double Line(long from, long to, in LinePrior prior) => Line(Of(from, to), prior);

    private static double Line(in LinePart part, in LinePrior prior)
    {
        double spread = part.Spread + prior.SlopeWeight, moment = part.Moment + (prior.SlopeWeight * prior.Slope);
        return (part.Off * part.Off * part.N) + (spread <= 0 ? 0 : (moment * moment / spread) - (prior.SlopeWeight * prior.Slope * prior.Slope));
    }

    /// <summary>What two lines explain that meet at a scan, and their slopes.</summary>
    /// <param name="from">First scan of the first.</param>
    /// <param name="corner">First scan of the second; where it lies before the first, all are the second's.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="level">The first is a level.</param>
    /// <param name="prior">What is known before of the second's slope and of where they meet.</param>
    public (double Explained, double Before, double After) Meeting(long from, long corner, long to, bool level, in LinePrior prior = default) =>
        Meeting(corner > from ? Of(from, corner) : default, Of(Math.Max(from, corner), to), level, prior, Math.Max(0, from - corner));

    /// <summary>What two lines explain that meet between two parts, and their slopes.</summary>
    /// <param name="first">The first line's scans.</param>
    /// <param name="second">The second's.</param>
    /// <param name="level">The first is a level.</param>
    /// <param name="prior">What is known before of the second's slope and of where they meet.</param>
    /// <param name="later">Scans from where they meet to the second's first, where there is none of the first.</param>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public (double Explained, double Before, double After) Meeting(in LinePart first, in LinePart second, bool level, in LinePrior prior = default, long later = 0)
    {
        // Sums of time, its square, code, and time by code, with time from the corner: half a scan before the first and behind it.
        double back = -(first.N + 1) / 2, ahead = later + ((second.N - 1) / 2), n1 = first.N, n2 = second.N;
        double x1 = n1 * back, xx1 = first.Spread + (n1 * back * back), y1 = n1 * first.Off, xy1 = first.Moment + (n1 * back * first.Off);
        double x2 = n2 * ahead, xx2 = second.Spread + (n2 * ahead * ahead), y2 = n2 * second.Off, xy2 = second.Moment + (n2 * ahead * second.Off);
        xx2 += prior.SlopeWeight;
        xy2 += prior.SlopeWeight * prior.Slope;
        double met = prior.Level - origin, n = n1 + n2 + prior.LevelWeight, y = y1 + y2 + (prior.LevelWeight * met);
        double tilt = level ? 0 : x1 / xx1, rise = x2 / xx2;
        double value = (y - (tilt * xy1) - (rise * xy2)) / (n - (tilt * x1) - (rise * x2));
        double after = (xy2 - (x2 * value)) / xx2;
        double before = level ? 0 : (xy1 - (x1 * value)) / xx1;
        return ((value * y) + (before * xy1) + (after * xy2) - (prior.SlopeWeight * prior.Slope * prior.Slope) - (prior.LevelWeight * met * met), before, after);
    }

    /// <summary>Time, in scans, at which two lines cross that each fit scans of their own, and what they explain.</summary>
    /// <param name="from">First scan of the first.</param>
    /// <param name="split">First scan of the second.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="level">The first is a level.</param>
    /// <param name="prior">What is known before of the second's slope.</param>
    public (double At, double Explained) Crossing(long from, long split, long to, bool level, in LinePrior prior)
    {
        LinePart first = Of(from, split), second = Of(split, to);
        double tilt = level ? 0 : first.Slope, rise = (second.Moment + (prior.SlopeWeight * prior.Slope)) / (second.Spread + prior.SlopeWeight);
        // What each is at the split.
        double ending = first.Off + (tilt * (first.N + 1) / 2), beginning = second.Off - (rise * (second.N - 1) / 2);
        return (split + ((ending - beginning) / (rise - tilt)), (level ? first.Level : first.Line) + Line(second, prior));
    }
}
