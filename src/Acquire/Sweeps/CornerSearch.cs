namespace Acquire.Sweeps;

/// <summary>Finds the scan at which a ramp changes from one straight line to another.</summary>
/// <remarks>
/// The stretch is reduced to at most 256 block means. Of all places to split it, the one with the least sum of squared deviations from
/// two free lines is taken. Where two lines are not clearly better than one there is no corner. A shorter stretch deviates less from its
/// best line: lines up to the first and from the last of some places deviate by no more than those of any place between, so where these
/// already deviate too much none of the places needs to be looked at.
/// </remarks>
internal sealed class CornerSearch
{
    private const int MaxPoints = 256;

    // Places looked at together first.
    private const int Stride = 12;

    // Two more free parameters gain about 2 variances by chance, and the best of 256 splits seldom above 20.
    private const double ClearVariances = 25;

    // Of the sum of squares: far more than deviations lose to rounding, which is some 256 times 2^-53 of it.
    private const double Rounding = 1e-10;

    private readonly double[] _y = new double[MaxPoints];
    private readonly double[] _s1 = new double[MaxPoints + 2];
    private readonly double[] _sx = new double[MaxPoints + 2];
    private readonly double[] _s2 = new double[MaxPoints + 2];

    /// <summary>First scan of the second line within [from, to), or <paramref name="from"/> where there is no corner.</summary>
    /// <param name="history">The ramp.</param>
    /// <param name="from">First scan looked at.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="sigma">Deviation of one scan, in codes.</param>
    public long Find(RampHistory history, long from, long to, double sigma)
    {
        long n = to - from;
        if (n < 4) return from;
        long block = Math.Max(1, (n + MaxPoints - 1) / MaxPoints);
        int points = (int)(n / block);
        // The remainder is left out at the old end: the new end is where the decision was taken.
        long origin = to - (points * block);
        Sum(history, origin, block, points);
        double one = Deviation(0, points), clear = ClearVariances * Math.Max(sigma * sigma / block, 0.01);
        int best = Split(points, one, clear);
        return best == 0 ? from : Math.Clamp(origin + (best * block), from, to - 1);
    }

    private void Sum(RampHistory history, long origin, long block, int points)
    {
        double level = history[origin];
        history.Means(origin, block, _y.AsSpan(0, points));
        for (int j = 0; j < points; j++)
        {
            double y = _y[j] - level;
            _s1[j + 1] = _s1[j] + y;
            _sx[j + 1] = _sx[j] + (j * y);
            _s2[j + 1] = _s2[j] + (y * y);
        }
    }

    /// <summary>The place at which two lines deviate least, or 0 where that is not clearly less than one line does.</summary>
    private int Split(int points, double one, double clear)
    {
        int best = 0;
        double least = one, rounding = Rounding * _s2[points];
        for (int first = 2; first <= points - 2; first += Stride)
        {
            int last = Math.Min(first + Stride - 1, points - 2);
            double fewest = Deviation(0, first) + Deviation(last, points) - rounding;
            if (fewest > least || one - fewest < clear) continue;
            for (int split = first; split <= last; split++)
            {
                double two = Deviation(0, split) + Deviation(split, points);
                if (two < least) (least, best) = (two, split);
            }
        }

        return one - least < clear ? 0 : best;
    }

    private double Deviation(int from, int to)
    {
        double n = to - from;
        double s1 = _s1[to] - _s1[from];
        double total = _s2[to] - _s2[from] - (s1 * s1 / n);
        if (n < 3) return 0;
        double sx = _sx[to] - _sx[from] - (from * s1);
        double slope = ((2 * sx) - ((n - 1) * s1)) * 6 / (n * ((n * n) - 1));
        return Math.Max(0, total - (slope * slope * n * ((n * n) - 1) / 12));
    }
}
