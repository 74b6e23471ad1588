namespace Acquire.Sweeps;

/// <summary>Finds flyback, rest and ramp in the scans around a start: the last of a line, a level, and a line that leaves it.</summary>
/// <remarks>
/// The stretch is reduced to at most 48 block means. Of all pairs of places the one is taken whose three pieces explain most, and then
/// the pair of scans near it. A flyback, a jump from the rest to the ramp, and a rest that is no level but another line, as the curved end
/// of a flyback is and a rest behind a coupling capacitor, are taken only where they explain clearly more.
/// </remarks>
internal sealed class StartSearch
{
    private const int MaxPoints = 48;

    /// <summary>As for one corner: what two more lines gain by chance.</summary>
    public const double ClearVariances = 25;

    // A rest is one more: twice what it gains by chance.
    private const double RestVariances = 6;

    // A rest that drifts faster than that of the ramp's slope is the ramp.
    private const double MostDrift = 0.5;

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

        double variance = Math.Max(sigma * sigma / (hums ? 1 : block), 0.01);
        (int foot, int start) = Coarse(points, variance);
        StartPlace place = new(ScanOf(foot), ScanOf(start), block);
        return block == 1 || start == 0 ? place : new Refinement(history, from, to, block * variance, sign).Near(place);

        long ScanOf(int point) => point == 0 ? from : origin + (point * block);
    }

    private (int Foot, int Start) Coarse(int points, double variance)
    {
        double best = double.NegativeInfinity;
        int foot = 0, start = 0;
        for (int i = 0; i < points - 2; i++)
        {
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
                if (j >= i + 2)
                {
                    explained = flyback - (ClearVariances * variance) + LeavingLine(i, j, points);
                    if (explained > best) (best, foot, start) = (explained, i, j);
                }

                (ramp, tilt) = Line(j, points);
                if (tilt <= 0) continue;
                double level = _s1[j] - _s1[i];
                explained = flyback - (ClearVariances * variance) + (level * level / (j - i)) + ramp;
                if (explained > best) (best, foot, start) = (explained, i, j);
            }
        }

        return (foot, start);
    }

    /// <summary>What a line through blocks [from, to) explains, and its slope per block without its scale.</summary>
    private (double Explained, double Tilt) Line(int from, int to)
    {
        double n = to - from, s1 = _s1[to] - _s1[from];
        if (n < 2) return (s1 * s1, 0);
        double moment = _sx[to] - _sx[from] - (s1 * (from + to - 1) / 2.0);
        return ((s1 * s1 / n) + (moment * moment * 12 / (n * ((n * n) - 1))), moment);
    }

    /// <summary>What a level over blocks [i, j) and a line that leaves it at j explain; NaN where it falls.</summary>
    private double LeavingLevel(int i, int j, int points)
    {
        double n = points - i;
        double y = _s1[points] - _s1[i];
        (double x, double xx, double xy) = After(j, points);
        double rise = x / xx, value = (y - (rise * xy)) / (n - (rise * x));
        double after = (xy - (x * value)) / xx;
        return after <= 0 ? double.NaN : (value * y) + (after * xy);
    }

    /// <summary>What a line over blocks [i, j) and one that leaves it at j explain; NaN where the ramp falls or is not clearly steeper.</summary>
    private double LeavingLine(int i, int j, int points)
    {
        double n = points - i, m = j - i;
        double y = _s1[points] - _s1[i];
        (double x, double xx, double xy) = After(j, points);
        double xb = -m * m / 2, xxb = m * ((4 * m * m) - 1) / 12;
        double xyb = _sx[j] - _sx[i] - ((j - 0.5) * (_s1[j] - _s1[i]));
        double tilt = xb / xxb, rise = x / xx, value = (y - (tilt * xyb) - (rise * xy)) / (n - (tilt * xb) - (rise * x));
        double after = (xy - (x * value)) / xx, before = (xyb - (xb * value)) / xxb;
        return after <= 0 || before > MostDrift * after ? double.NaN : (value * y) + (before * xyb) + (after * xy);
    }

    // A block's middle lies half a block after its start.
    private (double X, double XX, double XY) After(int j, int points)
    {
        double m = points - j;
        return (m * m / 2, m * ((4 * m * m) - 1) / 12, _sx[points] - _sx[j] - ((j - 0.5) * (_s1[points] - _s1[j])));
    }

    /// <summary>Moves both places scan by scan to where the three pieces explain most.</summary>
    private readonly struct Refinement(RampHistory history, long from, long to, double variance, double sign)
    {
        private readonly LineSums _sums = new(history, history.Mean(from, to));

        /// <summary>The best pair of scans near a pair of blocks, with a rest or without one: a brief one does not show in means of blocks.</summary>
        public StartPlace Near(StartPlace place)
        {
            (StartPlace best, double most) = Climb(place);
            for (long rest = place.Block; rest <= 2 * place.Block; rest += place.Block)
                if (place.Start - place.Foot < rest) (best, most) = Better(place with { Start = place.Foot + rest }, best, most);
            if (place.Start - place.Foot is > 0 and var brief && brief <= 2 * place.Block) (best, most) = Better(place with { Start = place.Foot }, best, most);
            return best;
        }

        private (StartPlace Best, double Most) Better(StartPlace place, StartPlace best, double most)
        {
            (StartPlace other, double explained) = Climb(place);
            return explained > most ? (other, explained) : (best, most);
        }

        private (StartPlace Place, double Explained) Climb(StartPlace place)
        {
            (long foot, long start) = (place.Foot, Math.Min(place.Start, to - 2));
            bool rests = foot < start;
            double best = Explained(foot, start);
            if (double.IsNaN(best)) best = double.NegativeInfinity;
            if (foot == from) Try(from + Math.Max(2, place.Block / 2), Math.Max(start, from + Math.Max(2, place.Block / 2)), ref foot, ref start, ref best);
            for (long step = Math.Max(1, place.Block / 2); step > 0; step /= 2)
            {
                bool moved = true;
                for (int round = 0; moved && round < 8; round++)
                {
                    moved = Try(foot + step, start + step, ref foot, ref start, ref best) || Try(foot - step, start - step, ref foot, ref start, ref best);
                    if (!rests) continue;
                    moved |= Try(foot, start + step, ref foot, ref start, ref best) || Try(foot, start - step, ref foot, ref start, ref best);
                    moved |= Try(foot + step, start, ref foot, ref start, ref best) || Try(foot - step, start, ref foot, ref start, ref best);
                }
            }

            return (place with { Foot = foot, Start = start }, best);
        }

        private bool Try(long nextFoot, long nextStart, ref long foot, ref long start, ref double best)
        {
            if (nextFoot < from || nextStart < nextFoot || nextStart > to - 2) return false;
            double explained = Explained(nextFoot, nextStart);
            if (!(explained > best)) return false;
            (foot, start, best) = (nextFoot, nextStart, explained);
            return true;
        }

        private double Explained(long foot, long start)
        {
            double flyback = 0, slope;
            if (foot > from)
            {
                flyback = _sums.Line(from, foot, out slope) - (ClearVariances * variance);
                if (sign * slope > 0) return double.NaN;
            }

            double ramp = _sums.Line(start, to, out slope);
            bool rises = sign * slope > 0;
            if (foot == start) return rises ? flyback + ramp : double.NaN;
            flyback -= RestVariances * variance;
            (double explained, _, double after) = _sums.Meeting(foot, start, to, level: true);
            double best = sign * after > 0 ? flyback + explained : double.NegativeInfinity;
            flyback -= ClearVariances * variance;
            if (start - foot >= 2)
            {
                (explained, double before, after) = _sums.Meeting(foot, start, to, level: false);
                if (sign * after > 0 && sign * before <= MostDrift * sign * after) best = Math.Max(best, flyback + explained);
            }

            return rises ? Math.Max(best, flyback + _sums.Level(foot, start) + ramp) : best;
        }
    }
}
