namespace Acquire.Sweeps;

/// <summary>Measures a leg: how far, how long, how straight.</summary>
internal sealed class LegJudge
{
    private const int MaxPoints = 256;

    // A bow of 5 % is within what sweep generators do; a half parabola, a resonance on a logarithmic scale, bows by 25 %.
    private const double MostBow = 0.12;

    // Rest of a straight leg after its bow; a random walk's is about 9 % of its reach at any scale.
    private const double MostOff = 0.02;

    // Shares of the way of a leg that begins with a swing of a flyback: what is behind the swing, and how far it falls at least.
    private const double LeastBehindSwing = 0.7, LeastSwing = 0.01;

    private readonly RampHistory _history;
    private readonly double[] _y = new double[MaxPoints];
    private readonly double[] _t = new double[MaxPoints];

    public LegJudge(RampHistory history) => _history = history;

    /// <summary>Measures a leg that lies in the history whole.</summary>
    public LegShape Measure(RampLeg leg, double sigma)
    {
        LegShape whole = MeasureWhole(leg, sigma);
        if (whole.Straight || whole.Amplitude <= 0) return whole;
        if (TryCutSwing(leg, whole.Amplitude, sigma, out RampLeg behind) && MeasureWhole(behind, sigma) is { Straight: true } ramp && ramp.Amplitude >= LeastBehindSwing * whole.Amplitude) return ramp;
        // Rest below the start or above the end: the ramp jumps from there, or there, and only the rest of the leg is the sweep.
        RampLeg core = leg;
        for (int cut = 0; cut < 2; cut++)
        {
            if (!TryCutJump(core, whole.Amplitude, out core)) return whole;
            LegShape shape = MeasureWhole(core, sigma);
            if (shape.Straight && shape.Amplitude >= 0.4 * whole.Amplitude) return shape;
        }

        return whole;
    }

    /// <summary>The last swing of a flyback that rings, and the ramp behind it: the leg falls a little on its way, in its lower part.</summary>
    private bool TryCutSwing(RampLeg leg, double amplitude, double sigma, out RampLeg core)
    {
        long block = Math.Max(1, (leg.End - leg.Start) / MaxPoints);
        double sign = leg.Up ? 1 : -1, highest = double.NegativeInfinity, most = Math.Max(LeastSwing * amplitude, 6 * sigma / Math.Sqrt(block));
        core = leg;
        for (long from = leg.Start; from + block <= leg.End; from += block)
        {
            double level = sign * (_history.Mean(from, from + block) - _history[leg.Start]);
            if (level > (1 - LeastBehindSwing) * amplitude) break;
            highest = Math.Max(highest, level);
            if (highest - level < most) continue;
            most = highest - level;
            core = leg with { Start = from };
        }

        return core.Start > leg.Start;
    }

    private bool TryCutJump(RampLeg leg, double amplitude, out RampLeg core)
    {
        long n = leg.End - leg.Start + 1, largestAt = 0;
        double sign = leg.Up ? 1 : -1, largest = 0;
        core = leg;
        // Over two scans: a jump may be caught on its way.
        long stride = Math.Max(1, n / 65_536);
        for (long scan = leg.Start + 2; scan <= leg.End; scan += stride)
        {
            double step = sign * (_history[scan] - _history[scan - 2]);
            if (step <= largest) continue;
            largest = step;
            largestAt = scan;
        }

        if (largest < 0.04 * amplitude || largest < 8 * 2 * amplitude / n) return false;
        bool early = sign * (_history[largestAt - 1] - _history[leg.Start]) < amplitude / 2;
        core = early ? leg with { Start = largestAt } : leg with { End = largestAt - 2 };
        return core.End - core.Start >= 4;
    }

    private LegShape MeasureWhole(RampLeg leg, double sigma)
    {
        long from = leg.Start, to = leg.End + 1;
        double sign = leg.Up ? 1 : -1;
        int edge = (int)Math.Clamp((to - from) / 200, 1, 64);
        double startCode = LevelAt(from, from + edge, _history[from], sigma), endCode = LevelAt(to - edge, to, _history[to - 1], sigma);
        double amplitude = sign * (endCode - startCode);
        if (amplitude <= 0) return new LegShape(0, startCode, endCode, 0, 0, 0, false, 0);

        double low = 0.05 * amplitude, high = 0.95 * amplitude;
        double first = from, last = to - 1;
        long a = from, b = to;
        int points = 0;
        long block = 1;
        for (int zoom = 0; zoom < 8; zoom++)
        {
            block = Math.Max(1, (b - a + MaxPoints - 1) / MaxPoints);
            points = (int)((b - a) / block);
            for (int j = 0; j < points; j++)
            {
                _t[j] = a + (j * block) + ((block - 1) / 2.0);
                _y[j] = sign * (_history.Mean(a + (j * block), a + ((j + 1) * block)) - startCode);
            }

            (first, last) = Crossings(points, low, high);
            if (block == 1 || last - first > 64 * block) break;
            long na = Math.Max(from, (long)(first - (2 * block))), nb = Math.Min(to, (long)(last + (2 * block)) + 1);
            if (nb - na >= b - a) break;
            a = na;
            b = nb;
        }

        double moving = Math.Max((last - first) / 0.9, 0.5);
        double share = moving / (to - from);
        bool straight = IsStraight(points, block, first, last, amplitude, sigma, out double standing, out double off);
        double running = Math.Max((last - first - standing) / 0.9, 0.5);
        return new LegShape(amplitude, startCode, endCode, moving, running, share, straight, off);
    }

    /// <summary>Mean of a stretch at a turning point, or the turning scan itself where the ramp moves too fast for a mean.</summary>
    private double LevelAt(long from, long to, double turning, double sigma)
    {
        double mean = _history.Mean(from, to);
        return Math.Abs(mean - turning) > 4 * sigma ? turning : mean;
    }

    private (double First, double Last) Crossings(int points, double low, double high)
    {
        // The last time below 5 % before the middle is passed for the last time, the first time above 95 % after it.
        double middle = (low + high) / 2;
        int half = points - 1;
        while (half > 0 && _y[half] >= middle) half--;
        int below = half;
        while (below > 0 && _y[below] > low) below--;
        int above = Math.Min(half + 1, points - 1);
        while (above < points - 1 && _y[above] < high) above++;
        return (Interpolate(below, Math.Min(below + 1, points - 1), low), Interpolate(Math.Max(above - 1, 0), above, high));
    }

    private double Interpolate(int i, int j, double level)
    {
        double rise = _y[j] - _y[i];
        if (i == j || Math.Abs(rise) < 1e-9) return _t[i];
        return _t[i] + ((_t[j] - _t[i]) * Math.Clamp((level - _y[i]) / rise, 0, 1));
    }

    private bool IsStraight(int points, long block, double first, double last, double amplitude, double sigma, out double standing, out double off)
    {
        standing = off = 0;
        int n = 0;
        for (int j = 0; j < points; j++)
        {
            if (_t[j] < first || _t[j] > last) continue;
            _t[n] = _t[j];
            _y[n] = _y[j];
            n++;
        }

        if (n < 4) return true;
        n = WithoutPause(n, amplitude, sigma / Math.Sqrt(block), out standing);
        (off, double bow, double kinship) = Quadratic(0, n);
        double noise = sigma / Math.Sqrt(block);
        // What is left of hum or of a walk goes on from point to point, what is left of noise does not: only noise has its size known.
        double most = kinship > 0.6 ? MostOff * amplitude : Math.Sqrt((MostOff * MostOff * amplitude * amplitude) + (1.5 * 1.5 * noise * noise));
        bool straight = off < Math.Max(most, 1) && Math.Abs(bow) < MostBow * amplitude;
        // Hum is there all the way; the last swing of a flyback before the ramp is not.
        double later = Quadratic(n / 4, n).Off;
        if (later < off / 3) off = later;
        return straight;
    }

    /// <summary>Takes out the longest stretch in which the leg stands still, if it is one, and closes the time.</summary>
    private int WithoutPause(int n, double amplitude, double noise, out double closed)
    {
        closed = 0;
        if (n < 16) return n;
        double still = Math.Max(0.01 * amplitude, 4 * noise);
        int bestFrom = 0, bestLength = 0;
        for (int i = 0; i < n; i++)
        {
            int j = i;
            double lowest = _y[i], highest = _y[i];
            while (j + 1 < n)
            {
                double lo = Math.Min(lowest, _y[j + 1]), hi = Math.Max(highest, _y[j + 1]);
                if (hi - lo > still) break;
                lowest = lo;
                highest = hi;
                j++;
            }

            if (j - i > bestLength)
            {
                bestLength = j - i;
                bestFrom = i;
            }
        }

        // Standing for four times as long as moving that far would take.
        if (bestLength < 4 || bestLength < 4 * still / amplitude * n) return n;
        closed = _t[bestFrom + bestLength] - _t[bestFrom];
        int m = bestFrom + 1;
        for (int j = bestFrom + bestLength + 1; j < n; j++, m++)
        {
            _t[m] = _t[j] - closed;
            _y[m] = _y[j];
        }

        return m;
    }

    /// <summary>Deviation from the best parabola, the parabola's height over its chord in the middle, and how alike neighbouring deviations are.</summary>
    private (double Off, double Bow, double Kinship) Quadratic(int from, int to)
    {
        int n = to - from;
        double span = _t[to - 1] - _t[from], t0 = _t[from];
        if (span <= 0) return (0, 0, 0);
        double p1 = 0, p2 = 0, p3 = 0, p4 = 0, y0 = 0, y1 = 0, y2 = 0;
        for (int j = from; j < to; j++)
        {
            double u = (2 * (_t[j] - t0) / span) - 1, y = _y[j];
            p1 += u;
            p2 += u * u;
            p3 += u * u * u;
            p4 += u * u * u * u;
            y0 += y;
            y1 += y * u;
            y2 += y * u * u;
        }

        // Normal equations of y = a + b u + c u^2 by Cramer's rule.
        double d = Determinant(n, p1, p2, p1, p2, p3, p2, p3, p4);
        if (Math.Abs(d) < 1e-12) return (0, 0, 0);
        double ca = Determinant(y0, p1, p2, y1, p2, p3, y2, p3, p4) / d;
        double cb = Determinant(n, y0, p2, p1, y1, p3, p2, y2, p4) / d;
        double cc = Determinant(n, p1, y0, p1, p2, y1, p2, p3, y2) / d;
        double sum = 0, along = 0, last = 0;
        for (int j = from; j < to; j++)
        {
            double u = (2 * (_t[j] - t0) / span) - 1;
            double off = _y[j] - (ca + (cb * u) + (cc * u * u));
            sum += off * off;
            along += off * last;
            last = off;
        }

        return (Math.Sqrt(sum / n), -cc, sum > 0 ? along / sum : 0);
    }

    private static double Determinant(
        double a, double b, double c, double d, double e, double f, double g, double h, double i) =>
        (a * ((e * i) - (f * h))) - (b * ((d * i) - (f * g))) + (c * ((d * h) - (e * g)));
}
