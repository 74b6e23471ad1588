using System.Runtime.InteropServices;

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

    private readonly RampHistory _history;
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
        _history = history;
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
        Span<double> odds = stackalloc double[Places];
        Span<Foot> feet = stackalloc Foot[MostRest + Places];
        long first = near - (Reach * step);
        Feet(first - (MostRest * step), step, feet);
        RunningSums end = _history.UpTo(_to);
        double most = double.NegativeInfinity, total = 0;
        for (int i = 0; i < Places; i++)
        {
            odds[i] = 0;
            long start = first + (i * step);
            if (start < _from || start > _to - 2) continue;
            RunningSums at = feet[i + MostRest].Sums;
            LinePart ramp = _sums.Of(at, end);
            for (int steps = 0; steps <= MostRest && start - ((steps - 1) * step) > _from; steps++)
            {
                ref readonly Foot foot = ref feet[i + MostRest - steps];
                double explained = Explained(foot, at, ramp);
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

    /// <summary>Where a rest may begin: the ramp's sums up to there, and what the flyback's line explains that ends there; NaN where it does not fall.</summary>
    [StructLayout(LayoutKind.Auto)]
    private readonly record struct Foot(RunningSums Sums, double Flyback);

    private void Feet(long scan, long step, Span<Foot> feet)
    {
        RunningSums first = _history.UpTo(_from);
        for (int i = 0; i < feet.Length; i++, scan += step)
        {
            feet[i] = new Foot(first, 0);
            if (scan <= _from || scan > _to - 2) continue;
            RunningSums at = _history.UpTo(scan);
            LinePart before = _sums.Of(first, at);
            feet[i] = new Foot(at, _sign * before.Slope > 0 ? double.NaN : before.Line - (StartSearch.ClearVariances * _variance));
        }
    }

    private double Explained(in Foot foot, in RunningSums start, in LinePart ramp)
    {
        if (double.IsNaN(foot.Flyback)) return double.NaN;
        (double explained, _, double after) = _sums.Meeting(_sums.LevelOf(foot.Sums, start), ramp, level: true, _prior);
        double flyback = foot.Sums.End == start.End ? foot.Flyback + (RestlessVariances * _variance) : foot.Flyback;
        return _sign * after > 0 ? flyback + explained : double.NaN;
    }
}
