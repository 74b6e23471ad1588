namespace Acquire.Sweeps;

/// <summary>Two lines that meet: a ramp before and after a corner, by least squares.</summary>
/// <remarks>
/// The ramp does not jump at its corner, so one parameter less is free than with two lines each on its own; for normal noise the corner of
/// the least sum of squares is the likeliest (Hinkley, 1969, two-phase regression). Only what the lines explain is worked out, from the
/// history's sums, so a corner costs the same however long the stretch is.
/// </remarks>
internal readonly struct Hinge
{
    // One more parameter at some places gains so much in one of 10,000 starts (chi squared of one degree of freedom, 20, times ten places).
    private const double JumpVariances = 20;

    // Where lines meet at a scan, that is not to be the one after it by the sums' rounding.
    private const double Rounding = 1e-3;

    private readonly LineSums _sums;
    private readonly long _from;
    private readonly long _to;
    private readonly bool _level;
    private readonly LinePrior _prior;
    private readonly StartTime _expected;
    private readonly double _variance;

    /// <param name="history">The ramp.</param>
    /// <param name="from">First scan of the first line.</param>
    /// <param name="to">One past the last scan of the second line.</param>
    /// <param name="level">The first line is a level.</param>
    /// <param name="prior">What is known of the second line before.</param>
    /// <param name="expected">When they are expected to meet.</param>
    /// <param name="sigma">Deviation of one scan, in codes, where that is known.</param>
    public Hinge(RampHistory history, long from, long to, bool level, in LinePrior prior, in StartTime expected = default, double sigma = 0)
    {
        _from = from;
        _to = to;
        _level = level;
        _prior = prior;
        _expected = expected;
        _variance = sigma * sigma;
        _sums = new LineSums(history, history.Mean(from, to));
    }

    /// <summary>Time at which the lines meet, in scans, from the likeliest corner near a scan.</summary>
    /// <param name="near">Scan near the corner.</param>
    /// <param name="reach">Scans by which it may be off.</param>
    public double Meet(long near, long reach) => Likeliest(near, reach).At;

    private (double At, double Explained) Likeliest(long near, long reach)
    {
        long least = _from + 2, most = _to - 2, at = Math.Clamp(near, least, Math.Max(least, most));
        double best = Explained(at);
        for (long step = Math.Max(1, reach / 2); step > 0; step /= 2)
        {
            bool moved = true;
            while (moved)
            {
                moved = false;
                for (long place = at - step; place <= at + step; place += 2 * step)
                {
                    if (place < least || place > most || Math.Abs(place - near) > 2 * reach) continue;
                    double here = Explained(place);
                    if (here <= best) continue;
                    (best, at, moved) = (here, place, true);
                    break;
                }
            }
        }

        if (at <= least || at >= most) return (at, best);
        // Between scans the lines meet where each fits its own scans best, if that is between the two.
        (double meet, double explained) = (at, best);
        for (long place = at; place <= at + 1; place++)
        {
            (double crossing, double there) = _sums.Crossing(_from, place, _to, _level, _prior);
            there -= _expected.Against(place) * _variance;
            if (crossing > place - 1 && crossing <= place && there > explained) (meet, explained) = (crossing, there);
        }

        return (meet, explained);
    }

    /// <summary>First scan of the second line, if the ramp jumps to it near a scan; otherwise where the lines meet.</summary>
    /// <param name="near">Scan near where the lines meet.</param>
    /// <param name="block">Scans by which that may be off.</param>
    /// <param name="reach">Scans by which a jump may be off, which moves where they meet.</param>
    /// <param name="sigma">Deviation of one scan, in codes.</param>
    public long First(long near, long block, long reach, double sigma)
    {
        (double meet, double most) = Likeliest(near, Math.Max(2, 2 * block));
        long jump = ScanAt(meet);
        // As for a corner: a jump is one where it explains more than chance would.
        most += JumpVariances * sigma * sigma;
        for (long place = Math.Max(_from + 1, near - reach); place <= Math.Min(_to - 2, near + reach); place += Math.Max(1, reach / 64))
        {
            double before = _level ? _sums.Level(_from, place) : _sums.Line(_from, place, out _);
            double here = before + _sums.Line(place, _to, _prior) - (_expected.Against(place) * _variance);
            if (here > most) (most, jump) = (here, place);
        }

        return jump;
    }

    /// <summary>The first scan not before a time.</summary>
    public static long ScanAt(double time) => (long)Math.Ceiling(time - Rounding);

    /// <summary>What two lines that meet at a scan explain of the sum of squares.</summary>
    private double Explained(long corner) => _sums.Meeting(_from, corner, _to, _level, _prior).Explained - (_expected.Against(corner) * _variance);
}
