namespace Acquire.Sweeps;

/// <summary>Where a sweep starts whose rest is too short, for its noise, to be told from the end of the flyback or from none at all.</summary>
/// <remarks>
/// The likeliest rest is then often none, or one that the flyback's last scans belong to, and the start is off by as much. Every pair of
/// places at which rest and ramp may begin has its odds, those of normal noise with the lines that fit best; of these the start's median is taken,
/// which for an absolute error is the best estimate (common practice in Bayesian estimation).
/// </remarks>
internal readonly ref struct StartOdds
{
    // Places to either side of a likely start, and before a start those where a rest may begin.
    private const int Reach = 8;
    private const int MostRest = 24;
    private const int Places = (2 * Reach) + 1;

    // The exponential of less is no number but 0.
    private const double NoOdds = -746;

    // Without a rest there is one place, with one there are many: what makes both as likely where nothing shows.
    private const double RestlessVariances = 4;

    private readonly LineSums _sums;
    private readonly LinePrior _prior;
    private readonly long _from;
    private readonly long _to;
    private readonly double _variance;
    private readonly double _sign;

    /// <param name="history">The ramp.</param>
    /// <param name="from">First scan looked at.</param>
    /// <param name="to">One past the last.</param>
    /// <param name="sigma">Deviation of one scan, in codes.</param>
    /// <param name="rising">Whether it draws with rising codes.</param>
    /// <param name="prior">What is known of the ramp.</param>
    public StartOdds(RampHistory history, long from, long to, double sigma, bool rising, in LinePrior prior)
    {
        _sums = new LineSums(history, history.Mean(from, to));
        (_from, _to, _prior) = (from, to, prior);
        _variance = Math.Max(sigma * sigma, 0.01);
        _sign = rising ? 1 : -1;
    }

    /// <summary>The median start near a likely one.</summary>
    /// <param name="near">A likely start.</param>
    /// <param name="step">Scans from one place to the next.</param>
    public long Median(long near, long step)
    {
        Span<double> odds = stackalloc double[Places], flybacks = stackalloc double[MostRest + Places];
        long first = near - (Reach * step);
        Flybacks(first - (MostRest * step), step, flybacks);
        double most = double.NegativeInfinity, total = 0;
        for (int i = 0; i < Places; i++)
        {
            odds[i] = 0;
            long start = first + (i * step);
            if (start < _from || start > _to - 2) continue;
            LinePart ramp = _sums.Of(start, _to);
            for (int steps = 0; steps <= MostRest && start - ((steps - 1) * step) > _from; steps++)
            {
                double flyback = flybacks[i + MostRest - steps];
                if (double.IsNaN(flyback)) continue;
                double explained = Explained(Math.Max(_from, start - (steps * step)), start, ramp, flyback);
                if (double.IsNaN(explained)) continue;
                if (explained > most)
                {
                    // All odds are beside the likeliest.
                    double less = Math.Exp((most - explained) / (2 * _variance));
                    for (int k = 0; k <= i; k++) odds[k] *= less;
                    most = explained;
                }

                double logarithm = (explained - most) / (2 * _variance);
                if (logarithm > NoOdds) odds[i] += Math.Exp(logarithm);
            }
        }

        foreach (double one in odds) total += one;
        if (!(total > 0)) return near;
        double before = 0;
        int middle = 0;
        while (before + odds[middle] < total / 2) before += odds[middle++];
        // The odds of a place are those of the scans around it, half a step to either side.
        double within = (((total / 2) - before) / odds[middle]) - 0.5;
        return Math.Clamp((long)Math.Round(first + ((middle + within) * step)), _from, _to - 2);
    }

    /// <summary>What the flyback's line explains that ends at each place where a rest may begin; NaN where it does not fall.</summary>
    private void Flybacks(long foot, long step, Span<double> flybacks)
    {
        for (int i = 0; i < flybacks.Length; i++, foot += step)
        {
            flybacks[i] = 0;
            if (foot <= _from || foot > _to - 2) continue;
            flybacks[i] = _sums.Line(_from, foot, out double slope) - (StartSearch.ClearVariances * _variance);
            if (_sign * slope > 0) flybacks[i] = double.NaN;
        }
    }

    private double Explained(long foot, long start, in LinePart ramp, double flyback)
    {
        (double explained, _, double after) = _sums.Meeting(_sums.Of(foot, start), ramp, level: true, _prior);
        if (foot == start) flyback += RestlessVariances * _variance;
        return _sign * after > 0 ? flyback + explained : double.NaN;
    }
}
