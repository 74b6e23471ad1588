using Acquire.Sweeps;

namespace Acquire.Tests.Models;

/// <summary>Flyback, rest and ramp in at most 48 scans by trying every pair of places.</summary>
internal sealed class PlainStart
{
    private const double ClearVariances = 25;
    private const double RestVariances = 6;
    private const double MostDrift = 0.5;

    private readonly double[] _sums;
    private readonly double[] _moments;
    private readonly int _scans;

    private PlainStart(RampHistory history, long from, int scans, double sign)
    {
        _scans = scans;
        _sums = new double[scans + 1];
        _moments = new double[scans + 1];
        for (int j = 0; j < scans; j++)
        {
            double y = sign * (history.Mean(from + j, from + j + 1) - history[from]);
            _sums[j + 1] = _sums[j] + y;
            _moments[j + 1] = _moments[j] + (j * y);
        }
    }

    public static StartPlace Find(RampHistory history, long from, long to, double sigma, bool rising, StartTime expected)
    {
        if (to - from < 4) return new StartPlace(from, from, 1);
        PlainStart search = new(history, from, (int)(to - from), rising ? 1 : -1);
        (int foot, int start) = search.Best(Math.Max(sigma * sigma, 0.01), start => expected.Against(from + start));
        return new StartPlace(from + foot, from + start, 1);
    }

    private (int Foot, int Start) Best(double variance, Func<int, double> against)
    {
        double best = double.NegativeInfinity;
        (int Foot, int Start) place = default;
        for (int i = 0; i < _scans - 2; i++)
        {
            (double flyback, double tilt) = Line(0, i);
            if (tilt > 0) continue;
            if (i > 0) flyback -= ClearVariances * variance;
            (double ramp, tilt) = Line(i, _scans);
            if (tilt > 0) Take(flyback + ramp, i, i);
            flyback -= RestVariances * variance;
            double further = flyback - (ClearVariances * variance);
            for (int j = i + 1; j <= _scans - 2; j++)
            {
                Take(flyback + LeavingLevel(i, j), i, j);
                if (j >= i + 2) Take(further + LeavingLine(i, j), i, j);
                (ramp, tilt) = Line(j, _scans);
                double level = _sums[j] - _sums[i];
                if (tilt > 0) Take(further + (level * level / (j - i)) + ramp, i, j);
            }
        }

        return place;

        void Take(double explained, int foot, int start)
        {
            explained -= against(start) * variance;
            if (explained > best) (best, place) = (explained, (foot, start));
        }
    }

    private (double Explained, double Tilt) Line(int from, int to)
    {
        double n = to - from, s1 = _sums[to] - _sums[from];
        if (n < 2) return (s1 * s1, 0);
        double moment = _moments[to] - _moments[from] - (s1 * (from + to - 1) / 2.0);
        return ((s1 * s1 / n) + (moment * moment * 12 / (n * ((n * n) - 1))), moment);
    }

    private double LeavingLevel(int i, int j)
    {
        double n = _scans - i, y = _sums[_scans] - _sums[i];
        (double x, double xx, double xy) = After(j);
        double rise = x / xx, value = (y - (rise * xy)) / (n - (rise * x)), after = (xy - (x * value)) / xx;
        return after <= 0 ? double.NaN : (value * y) + (after * xy);
    }

    private double LeavingLine(int i, int j)
    {
        double n = _scans - i, m = j - i, y = _sums[_scans] - _sums[i];
        (double x, double xx, double xy) = After(j);
        double xb = -m * m / 2, xxb = m * ((4 * m * m) - 1) / 12;
        double xyb = _moments[j] - _moments[i] - ((j - 0.5) * (_sums[j] - _sums[i]));
        double tilt = xb / xxb, rise = x / xx, value = (y - (tilt * xyb) - (rise * xy)) / (n - (tilt * xb) - (rise * x));
        double after = (xy - (x * value)) / xx, before = (xyb - (xb * value)) / xxb;
        return after <= 0 || before > MostDrift * after ? double.NaN : (value * y) + (before * xyb) + (after * xy);
    }

    private (double X, double XX, double XY) After(int j)
    {
        double m = _scans - j;
        return (m * m / 2, m * ((4 * m * m) - 1) / 12, _moments[_scans] - _moments[j] - ((j - 0.5) * (_sums[_scans] - _sums[j])));
    }
}
