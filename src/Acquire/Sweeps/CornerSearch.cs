namespace Acquire.Sweeps;

/// <summary>Finds the scan at which a ramp changes from one straight line to another.</summary>
/// <remarks>
/// The stretch is reduced to at most 256 block means. Of all places to split it, the one with the least sum of squared deviations from
/// two free lines is taken. Where two lines are not clearly better than one there is no corner.
/// </remarks>
internal sealed class CornerSearch
{
    private const int MaxPoints = 256;
    private readonly double[] _y = new double[MaxPoints + 1];
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
        double level = history[origin];
        for (int j = 0; j < points; j++)
        {
            double y = history.Mean(origin + (j * block), origin + ((j + 1) * block)) - level;
            _y[j] = y;
            _s1[j + 1] = _s1[j] + y;
            _sx[j + 1] = _sx[j] + (j * y);
            _s2[j + 1] = _s2[j] + (y * y);
        }

        double one = Deviation(0, points);
        int best = 0;
        double least = one;
        for (int split = 2; split <= points - 2; split++)
        {
            double two = Deviation(0, split) + Deviation(split, points);
            if (two < least)
            {
                least = two;
                best = split;
            }
        }

        double variance = Math.Max(sigma * sigma / block, 0.01);
        // 25 variances: two more free parameters gain about 2 by chance, and the best of 256 splits seldom above 20.
        if (best == 0 || one - least < 25 * variance) return from;
        return Math.Clamp(origin + (best * block), from, to - 1);
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
