namespace Acquire.Sweeps;

/// <summary>Finds flyback, rest and ramp in the scans around a start: the last of a line, a level, and a line that leaves it.</summary>
/// <remarks>
/// The stretch is reduced to at most 48 block means. Of all pairs of places the one is taken whose three pieces explain most, and then
/// the pair of scans near it. A flyback, a jump from the rest to the ramp, and a rest that is no level but another line, as the curved end
/// of a flyback is and a rest behind a coupling capacitor, are taken only where they explain clearly more.
/// </remarks>
internal sealed partial class StartSearch
{
    private const int MaxPoints = 48;

    /// <summary>As for one corner: what two more lines gain by chance.</summary>
    public const double ClearVariances = 25;

    // A rest is one more: twice what it gains by chance.
    public const double RestVariances = 6;

    // A rest that drifts faster than that of the ramp's slope is the ramp.
    public const double MostDrift = 0.5;

    // Of the sum of squares: far more than sums lose to rounding, which is some 48 times 2^-53 of it.
    private const double Rounding = 1e-10;

    // Up to each block: sums of means, of them times their place, of their squares.
    private readonly double[] _s1 = new double[MaxPoints + Lanes];
    private readonly double[] _sx = new double[MaxPoints + Lanes];
    private readonly double[] _s2 = new double[MaxPoints + 1];
    private readonly double[] _means = new double[MaxPoints];

    // From each block on.
    private readonly double[] _xy = new double[MaxPoints + Lanes];
    private readonly double[] _riseXY = new double[MaxPoints + Lanes];
    private readonly double[] _ramps = new double[MaxPoints + Lanes];

    // What speaks against its beginning at each block.
    private readonly double[] _against = new double[MaxPoints + Lanes];

    /// <summary>Where rest and ramp begin; both at <paramref name="from"/> where there is no corner.</summary>
    /// <param name="history">The ramp.</param>
    /// <param name="from">First scan looked at.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="sigma">Deviation of one scan, in codes.</param>
    /// <param name="hums">Most of that is hum, which is no less in a mean of some scans.</param>
    /// <param name="rising">Whether it draws with rising codes.</param>
    /// <param name="expected">When the ramp is expected to begin.</param>
    public StartPlace Find(RampHistory history, long from, long to, double sigma, bool hums, bool rising, in StartTime expected)
    {
        long n = to - from;
        if (n < 4) return new StartPlace(from, from, 1);
        long block = (n + MaxPoints - 1) / MaxPoints;
        int points = (int)(n / block);
        long origin = to - (points * block);
        double sign = rising ? 1 : -1;
        Sum(history, origin, block, points, sign);
        double variance = Math.Max(sigma * sigma / (hums ? 1 : block), 0.01);
        for (int j = 0; j < points; j++) _against[j] = expected.Against(origin + (j * block)) * variance;
        (int foot, int start) = Coarse(points, variance);
        StartPlace place = new(ScanOf(foot), ScanOf(start), block);
        if (block == 1 || start == 0) return place;
        Span<StartRefinement.Place> feet = stackalloc StartRefinement.Place[StartRefinement.Kept], starts = stackalloc StartRefinement.Place[StartRefinement.Kept];
        feet.Fill(StartRefinement.Place.None);
        starts.Fill(StartRefinement.Place.None);
        return new StartRefinement(history, from, to, block * variance, sign, expected, feet, starts).Near(place);

        long ScanOf(int point) => point == 0 ? from : origin + (point * block);
    }

    private void Sum(RampHistory history, long origin, long block, int points, double sign)
    {
        double about = history[origin];
        Span<double> means = _means.AsSpan(0, points);
        history.Means(origin, block, means);
        for (int j = 0; j < points; j++)
        {
            double y = sign * (means[j] - about);
            _s1[j + 1] = _s1[j] + y;
            _sx[j + 1] = _sx[j] + (j * y);
            _s2[j + 1] = _s2[j] + (y * y);
        }
    }

    private (int Foot, int Start) Coarse(int points, double variance)
    {
        Best best = new() { Explained = double.NegativeInfinity };
        SumRamps(points);
        double all = _s2[points] * (1 + Rounding);
        for (int i = 0; i < points - 2; i++)
        {
            (double flyback, double tilt) = Line(0, i);
            // A longer flyback is off its line by as much, and the other pieces explain no more than all there is.
            if (i > 0 && all - (_s2[i] - flyback) - (ClearVariances * variance) < best.Explained) break;
            if (tilt > 0) continue;
            if (i > 0) flyback -= ClearVariances * variance;
            double explained = flyback + _ramps[i] - _against[i];
            if (explained > best.Explained) best = new Best { Explained = explained, Foot = i, Start = i };
            AfterRest(i, points, flyback - (RestVariances * variance), ClearVariances * variance, ref best);
        }

        return (best.Foot, best.Start);
    }

    /// <summary>Sums of the ramp from each block on, with the block's start for time 0, and what a line through it explains.</summary>
    private void SumRamps(int points)
    {
        for (int j = 0; j <= points - 2; j++)
        {
            // A block's middle lies half a block after its start.
            double xy = _sx[points] - _sx[j] - ((j - 0.5) * (_s1[points] - _s1[j]));
            (double ramp, double tilt) = Line(j, points);
            _xy[j] = xy;
            _riseXY[j] = Rise[points - j] * xy;
            _ramps[j] = tilt > 0 ? ramp : double.NegativeInfinity;
        }
    }

    /// <summary>What a line through blocks [from, to) explains, and its slope per block without its scale.</summary>
    private (double Explained, double Tilt) Line(int from, int to)
    {
        double n = to - from, s1 = _s1[to] - _s1[from];
        if (n < 2) return (s1 * s1, 0);
        double moment = _sx[to] - _sx[from] - (s1 * (from + to - 1) / 2.0);
        return ((s1 * s1 / n) + (moment * moment * 12 / (n * ((n * n) - 1))), moment);
    }
}
