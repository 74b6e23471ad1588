namespace Acquire.Sweeps;

/// <summary>Finds flyback, rest and ramp in the scans around a start: the last of a line, a level, and a line that leaves it.</summary>
/// <remarks>
/// The stretch is reduced to at most 48 block means. Of all pairs of places the one is taken whose three pieces explain most. A flyback, and
/// a jump from the rest to the ramp, are taken only where they explain clearly more.
/// </remarks>
internal sealed class StartSearch
{
    private const int MaxPoints = 48;

    // As for one corner: what two more lines gain by chance.
    private const double ClearVariances = 25;

    // A rest is one more: twice what it gains by chance.
    private const double RestVariances = 6;

    private readonly double[] _s1 = new double[MaxPoints + 1];
    private readonly double[] _sx = new double[MaxPoints + 1];

    /// <summary>Where rest and ramp begin; both at <paramref name="from"/> where there is no corner.</summary>
    /// <param name="history">The ramp.</param>
    /// <param name="from">First scan looked at.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="sigma">Deviation of one scan, in codes.</param>
    /// <param name="hums">Most of that is hum, which is no less in a mean of some scans.</param>
    /// <param name="rising">Whether it draws with rising codes.</param>
    public StartPlace Find(RampHistory history, long from, long to, double sigma, bool hums, bool rising)
    {
        long n = to - from;
        if (n < 4) return new StartPlace(from, from, 1);
        long block = (n + MaxPoints - 1) / MaxPoints;
        int points = (int)(n / block);
        long origin = to - (points * block);
        double about = history[origin], sign = rising ? 1 : -1;
        for (int j = 0; j < points; j++)
        {
            double y = sign * (history.Mean(origin + (j * block), origin + ((j + 1) * block)) - about);
            _s1[j + 1] = _s1[j] + y;
            _sx[j + 1] = _sx[j] + (j * y);
        }

        double variance = Math.Max(sigma * sigma / (hums ? 1 : block), 0.01), best = double.NegativeInfinity;
        int foot = 0, start = 0;
        for (int i = 0; i < points - 2; i++)
        {
            if (i == 1) continue;
            (double flyback, double tilt) = Line(0, i);
            if (tilt > 0) continue;
            if (i > 0) flyback -= ClearVariances * variance;
            (double ramp, tilt) = Line(i, points);
            if (tilt > 0 && flyback + ramp > best) (best, foot, start) = (flyback + ramp, i, i);
            flyback -= RestVariances * variance;
            for (int j = i + 1; j <= points - 2; j++)
            {
                double explained = flyback + LeavingLevel(i, j, points);
                if (explained > best) (best, foot, start) = (explained, i, j);
                (ramp, tilt) = Line(j, points);
                if (tilt <= 0) continue;
                double level = _s1[j] - _s1[i];
                explained = flyback - (ClearVariances * variance) + (level * level / (j - i)) + ramp;
                if (explained > best) (best, foot, start) = (explained, i, j);
            }
        }

        return new StartPlace(ScanOf(foot), ScanOf(start), block);

        long ScanOf(int point) => point == 0 ? from : origin + (point * block);
    }

    /// <summary>What a line through blocks [from, to) explains, and its slope per block without its scale.</summary>
    private (double Explained, double Tilt) Line(int from, int to)
    {
        double n = to - from, s1 = _s1[to] - _s1[from];
        if (n < 2) return (0, 0);
        double moment = _sx[to] - _sx[from] - (s1 * (from + to - 1) / 2.0);
        return ((s1 * s1 / n) + (moment * moment * 12 / (n * ((n * n) - 1))), moment);
    }

    /// <summary>What a level over blocks [i, j) and a line that leaves it at j explain; NaN where it falls.</summary>
    private double LeavingLevel(int i, int j, int points)
    {
        double n = points - i, m = points - j;
        double y = _s1[points] - _s1[i];
        // A block's middle lies half a block after its start.
        double x = m * m / 2, xx = m * ((4 * m * m) - 1) / 12;
        double xy = _sx[points] - _sx[j] - ((j - 0.5) * (_s1[points] - _s1[j]));
        double rise = x / xx, value = (y - (rise * xy)) / (n - (rise * x));
        double after = (xy - (x * value)) / xx;
        return after <= 0 ? double.NaN : (value * y) + (after * xy);
    }
}
