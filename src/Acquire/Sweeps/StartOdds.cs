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
    public const int MostRest = 24;
    private const int Places = (2 * Reach) + 1;

    // A recording is more likely to begin with the ramp, or within it, than just before it (an assumption of ours).
    private const double InsideShare = 0.2;

    // Without a rest there is one place, with one there are many: what makes both as likely where nothing shows.
    private const double RestlessVariances = 4;

    // Four deviations: what lies further off is not like the others.
    private const double OtherLevelVariances = 16;

    private readonly RampHistory _history;
    private readonly LineSums _sums;
    private readonly double _origin;
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
        _origin = history.Mean(from, to);
        _sums = new LineSums(history, _origin);
        (_from, _to, _prior) = (from, to, prior);
        _variance = Math.Max(sigma * sigma, 0.01);
        _sign = rising ? 1 : -1;
    }

    /// <summary>The median start near a likely one.</summary>
    /// <param name="near">A likely start.</param>
    /// <param name="step">Scans from one place to the next.</param>
    /// <param name="expected">When it is expected.</param>
    public long Median(long near, long step, StartTime expected)
    {
        Odds odds = new(stackalloc double[Places], near - (Reach * step), step, _variance);
        Span<Foot> feet = stackalloc Foot[MostRest + Places];
        Feet(odds.PlaceOf(-MostRest), step, feet);
        RunningSums end = _history.UpTo(_to);
        for (int i = 0; i < Places; i++)
        {
            long start = odds.PlaceOf(i);
            if (start < _from || start > _to - 2) continue;
            RunningSums at = feet[i + MostRest].Sums;
            RampLeaving ramp = new(_sums.Of(at, end), _prior, _origin);
            double against = expected.Against(start) * _variance;
            for (int steps = 0; steps <= MostRest && start - ((steps - 1) * step) > _from; steps++)
                odds.Add(i, Explained(feet[i + MostRest - steps], at, ramp) - against);
        }

        return Math.Clamp(odds.Quantile(0.5, near), _from, _to - 2);
    }

    /// <summary>Where a ramp started that was under way at the first scan, or started soon after it; that scan unless it clearly lies before.</summary>
    /// <param name="step">Scans from one place to the next.</param>
    public long Entered(long step)
    {
        Odds odds = new(stackalloc double[(2 * MostRest) + 1], _from - (MostRest * step), step, _variance);
        for (int i = 0; i <= 2 * MostRest; i++)
        {
            long start = odds.PlaceOf(i);
            if (start > _to - 2) continue;
            // Levels may still be settling: one that is clearly another says no more against it.
            double explained = Math.Max(Rising(start, _prior), Rising(start, _prior with { LevelWeight = 0 }) - (OtherLevelVariances * _variance));
            odds.Add(i, explained);
        }

        return Math.Clamp(odds.Quantile(InsideShare, _from), _from, _to - 2);
    }

    /// <summary>What a level and a ramp that leaves it explain; less than anything where the ramp falls.</summary>
    private double Rising(long start, in LinePrior prior)
    {
        (double explained, _, double after) = _sums.Meeting(_from, start, _to, level: true, prior);
        return _sign * after > 0 ? explained : double.NegativeInfinity;
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

    private double Explained(in Foot foot, in RunningSums start, in RampLeaving ramp)
    {
        if (double.IsNaN(foot.Flyback)) return double.NaN;
        double explained = ramp.Explained(start.End - foot.Sums.End, unchecked(start.Sum - foot.Sums.Sum), out double after);
        double flyback = foot.Sums.End == start.End ? foot.Flyback + (RestlessVariances * _variance) : foot.Flyback;
        return _sign * after > 0 ? flyback + explained : double.NaN;
    }

    /// <summary>Odds of places, each beside the likeliest.</summary>
    private ref struct Odds(Span<double> odds, long first, long step, double variance)
    {
        // As many places as there are, of so little odds, are nothing beside the likeliest.
        private const double None = -45;

        private readonly Span<double> _odds = odds;
        private double _most = double.NegativeInfinity;

        public readonly long PlaceOf(int index) => first + (index * step);

        public void Add(int index, double explained)
        {
            if (!double.IsFinite(explained)) return;
            if (explained > _most)
            {
                double less = Math.Exp((_most - explained) / (2 * variance));
                foreach (ref double one in _odds[..(index + 1)]) one *= less;
                _most = explained;
            }

            double logarithm = (explained - _most) / (2 * variance);
            if (logarithm > None) _odds[index] += Math.Exp(logarithm);
        }

        /// <summary>The place before which the start lies with this share of the odds, or another where there are none.</summary>
        public readonly long Quantile(double share, long otherwise)
        {
            double total = 0, before = 0;
            foreach (double one in _odds) total += one;
            if (!(total > 0)) return otherwise;
            int middle = 0;
            while (before + _odds[middle] < total * share) before += _odds[middle++];
            // The odds of a place are those of the scans around it, half a step to either side.
            double within = (((total * share) - before) / _odds[middle]) - 0.5;
            return (long)Math.Round(PlaceOf(0) + ((middle + within) * step));
        }
    }
}
