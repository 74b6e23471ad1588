namespace Acquire.Sweeps;

/// <summary>Two lines that meet under hum of one frequency: what <see cref="Hinge"/> finds, where hum deviates by more than noise does.</summary>
/// <remarks>
/// Lines and hum are fitted together by least squares: of a sine wave whose frequency is known, the two parts are linear (as in the
/// three-parameter sine fit of IEEE Std 1057, from memory). Corner and frequency are looked for; of all pairs the one is taken that explains
/// most, in means of blocks. Hum of fewer cycles than two lines may pass for, or that explains no more than chance would, is left alone.
/// </remarks>
internal sealed class HummedHinge
{
    private const int MaxPoints = 512;

    // A mean of a quarter of a cycle still has nine tenths of the hum.
    private const double LeastPointsInCycle = 4;
    private const double LeastCycles = 1.5;
    private const double LeastCyclesKnown = 0.5;

    // Of the width of a peak over frequency, which is a cycle more or less in the stretch.
    private const double FrequencyStep = 0.4;

    // Where no more is left than twice what noise leaves there is no other hum to be found.
    private const double LikeNoise = 2;

    // The mains' frequency wanders: it is known no better than from so many stretches more.
    private const double MostStretches = 15;

    // Behind searches in vain none is made at ever more starts, up to 63.
    private const int MostDoublings = 6;

    private const int MostUnknowns = 4;

    private readonly double[] _codes = new double[MaxPoints];
    private readonly LineTotals[] _lines = new LineTotals[MaxPoints + 1];
    private readonly WaveTotals[] _waves = new WaveTotals[MaxPoints + 1];
    private int _points;
    private double _block;

    // Time of the first mean, from the scan near which the corner is.
    private double _first;
    private double _mean;
    private double _squares;
    private LinePrior _prior;
    private double _reach;

    // Of the hum found so far, in radians per scan, and what that is worth.
    private double _turn;
    private double _turnWeight;

    // Starts at which none is looked for yet, and searches in vain so far.
    private int _pass;
    private int _failed;

    /// <summary>Looks for the time at which the lines meet.</summary>
    /// <param name="history">The ramp.</param>
    /// <param name="from">First scan of the first line.</param>
    /// <param name="near">Scan near the corner.</param>
    /// <param name="to">One past the last scan of the second line.</param>
    /// <param name="reach">Scans by which the corner may be off.</param>
    /// <param name="prior">What is known of the second line's slope before, by the deviation of a scan without hum.</param>
    /// <param name="sigma">That deviation, in codes.</param>
    /// <param name="at">The time, in scans.</param>
    /// <param name="ramp">The second line without hum, from there to its last scan.</param>
    /// <returns>False where no hum shows.</returns>
    public bool TryMeet(RampHistory history, long from, long near, long to, double reach, in LinePrior prior, double sigma, out double at, out LineFit ramp)
    {
        at = near;
        ramp = default;
        long block = (to - from + MaxPoints - 1) / MaxPoints;
        _points = (int)((to - from) / block);
        (_block, _reach) = (block, reach);
        _prior = prior with { SlopeWeight = prior.SlopeWeight / block };
        double cycle = 2 * Math.PI / (_points * block), slowest = LeastCycles * cycle, fastest = 2 * Math.PI / (LeastPointsInCycle * block);
        if (_points < 4 * MostUnknowns || slowest >= fastest) return false;
        long origin = to - (_points * block);
        history.Means(origin, block, _codes.AsSpan(0, _points));
        _first = origin + ((block - 1) / 2.0) - near;
        SumLines();

        // Of a converter's steps a mean holds no less than a scan where there is no noise to dither them (Bennett, 1948).
        double variance = sigma * sigma / block, most = _points * Math.Max(LikeNoise * variance, RampNoise.Floor * RampNoise.Floor);
        Meeting best = MeetKnown(cycle, fastest);
        bool known = _squares - best.Explained <= most;
        // A search costs as much as some thousands of scans: where no hum is at one start there is seldom some at the next.
        if (!known && _pass > 0)
        {
            _pass--;
            return false;
        }

        if (!known) best = MeetAny(slowest, fastest, FrequencyStep * cycle);
        bool hums = _squares - best.Explained <= most && best.Explained - Meet(0).Explained >= StartSearch.ClearVariances * variance;
        if (!known) NoteSearch(hums);
        if (!hums) return false;
        if (best.Turn >= slowest && !(known && IsWellKnown(cycle)))
        {
            Learn(best.Turn, cycle);
            if (Meet(_turn) is var usual && _squares - usual.Explained <= most) best = usual;
        }

        at = near + best.At;
        ramp = RampOf(best, to - 1 - at, to - Hinge.ScanAt(at));
        return true;
    }

    private LineFit RampOf(in Meeting meeting, double way, long scans)
    {
        SumWaves(meeting.Turn);
        NormalEquations sums = new(stackalloc double[MostUnknowns * (MostUnknowns + 1)], MostUnknowns);
        Take(sums, meeting.At, hums: true);
        sums.Explained(MostUnknowns);
        Span<double> found = stackalloc double[MostUnknowns];
        sums.Solve(found);
        return new LineFit(_mean + found[0] + (found[^1] * way), found[^1], scans);
    }

    /// <summary>The likeliest corner under the hum of before, whose frequency fewer cycles than those that tell it tell no better.</summary>
    private Meeting MeetKnown(double cycle, double fastest)
    {
        if (_turn < LeastCyclesKnown * cycle || _turn > fastest) return new Meeting(0, 0, double.NegativeInfinity);
        Meeting known = Meet(_turn);
        return _turn < LeastCycles * cycle || IsWellKnown(cycle) ? known : Nearer(known, FrequencyStep * cycle);
    }

    // So well that a stretch of which one is that share of a cycle tells it no better.
    private bool IsWellKnown(double cycle) => _turnWeight * cycle * cycle * cycle >= MostStretches / 2;

    /// <summary>Takes a frequency, which is told the better the longer the stretch is.</summary>
    private void Learn(double turn, double cycle)
    {
        // The variance of a frequency goes with the third power of the scans (Rife and Boorstyn, 1974, from memory).
        double own = 1 / (cycle * cycle * cycle);
        if (Math.Abs(turn - _turn) > cycle) _turnWeight = 0;
        _turnWeight = Math.Min(_turnWeight, MostStretches * own) + own;
        _turn += (turn - _turn) * own / _turnWeight;
    }

    /// <summary>The likeliest corner under hum of any frequency.</summary>
    private Meeting MeetAny(double slowest, double fastest, double step)
    {
        Meeting best = Meet(slowest);
        for (double turn = slowest + step; turn <= fastest; turn += step)
            if (Meet(turn) is var other && other.Explained > best.Explained) best = other;
        return Nearer(best, step);
    }

    // Noise may hide it at one or two.
    private void NoteSearch(bool found)
    {
        _failed = found ? 0 : _failed + 1;
        _pass = (1 << Math.Clamp(_failed - 2, 0, MostDoublings)) - 1;
    }

    private void SumLines()
    {
        _mean = 0;
        for (int i = 0; i < _points; i++) _mean += _codes[i] / _points;
        LineTotals sum = default;
        _lines[_points] = sum;
        _squares = 0;
        for (int i = _points - 1; i >= 0; i--)
        {
            double t = _first + (i * _block), y = _codes[i] -= _mean;
            sum = new LineTotals(sum.N + 1, sum.T + t, sum.TT + (t * t), sum.Y + y, sum.TY + (t * y));
            _lines[i] = sum;
            _squares += y * y;
        }
    }

    private void SumWaves(double turn)
    {
        double last = _first + ((_points - 1) * _block), c = Math.Cos(turn * last), s = Math.Sin(turn * last), back = Math.Cos(turn * _block), aside = Math.Sin(turn * _block);
        WaveTotals sum = default;
        _waves[_points] = sum;
        for (int i = _points - 1; i >= 0; i--)
        {
            double t = _first + (i * _block), y = _codes[i];
            sum = new WaveTotals(
                sum.C + c, sum.S + s, sum.TC + (t * c), sum.TS + (t * s), sum.YC + (y * c), sum.YS + (y * s), sum.CC + (c * c), sum.CS + (c * s), sum.SS + (s * s));
            _waves[i] = sum;
            (c, s) = ((c * back) + (s * aside), (s * back) - (c * aside));
        }
    }

    /// <summary>The likeliest frequency near one, in ever smaller steps.</summary>
    private Meeting Nearer(Meeting best, double step)
    {
        for (int round = 0; round < 8; round++)
        {
            step /= 2;
            Meeting slower = Meet(best.Turn - step), faster = Meet(best.Turn + step);
            if (slower.Explained > best.Explained) best = slower;
            if (faster.Explained > best.Explained) best = faster;
        }

        return best;
    }

    /// <summary>The likeliest corner under hum of a frequency, 0 for none.</summary>
    private Meeting Meet(double turn)
    {
        if (turn > 0) SumWaves(turn);
        double least = Math.Max(-_reach, _first + (2 * _block)), most = Math.Min(_reach, _first + ((_points - 3) * _block)), step = (most - least) / 16;
        double at = 0, explained = double.NegativeInfinity;
        for (int i = 0; i <= 16; i++) Try(least + (i * step), ref at, ref explained);
        // To within a few hundredths of a scan, which is less than any noise leaves.
        for (; step > 1.0 / 64; step /= 2)
        {
            double here = at;
            Try(Math.Max(least, here - (step / 2)), ref at, ref explained);
            Try(Math.Min(most, here + (step / 2)), ref at, ref explained);
        }

        return new Meeting(turn, at, explained);

        void Try(double place, ref double bestPlace, ref double most)
        {
            double here = Explained(place, turn > 0);
            if (here > most) (bestPlace, most) = (place, here);
        }
    }

    /// <summary>What the lines explain, with hum or without, where they meet at a time.</summary>
    private double Explained(double at, bool hums)
    {
        NormalEquations sums = new(stackalloc double[MostUnknowns * (MostUnknowns + 1)], MostUnknowns);
        int unknowns = Take(sums, at, hums);
        return sums.Explained(unknowns) - (_prior.SlopeWeight * _prior.Slope * _prior.Slope);
    }

    /// <summary>The level, both parts of the hum where there is one, and last the line: how many unknowns.</summary>
    private int Take(in NormalEquations sums, double at, bool hums)
    {
        int place = Math.Clamp((int)Math.Floor((at - _first) / _block) + 1, 0, _points), unknowns = 1;
        LineTotals all = _lines[0], after = _lines[place];
        WaveTotals waves = hums ? _waves[0] : default, wavesAfter = hums ? _waves[place] : default;
        sums.Set(0, 0, all.N);
        sums.SetRight(0, all.Y);
        if (hums)
        {
            sums.Set(0, 1, waves.C);
            sums.Set(0, 2, waves.S);
            sums.Set(1, 1, waves.CC);
            sums.Set(1, 2, waves.CS);
            sums.Set(2, 2, waves.SS);
            sums.SetRight(1, waves.YC);
            sums.SetRight(2, waves.YS);
            unknowns = 3;
        }

        SetLine(sums, unknowns, at, after, wavesAfter, hums);
        sums.Add(unknowns, _prior.SlopeWeight, _prior.SlopeWeight * _prior.Slope);
        return unknowns + 1;
    }

    /// <summary>A line that rises from nothing at a time, over some of the means.</summary>
    private static void SetLine(in NormalEquations sums, int line, double at, in LineTotals some, in WaveTotals waves, bool hums)
    {
        sums.Set(0, line, some.T - (at * some.N));
        sums.Set(line, line, some.TT - (2 * at * some.T) + (at * at * some.N));
        sums.SetRight(line, some.TY - (at * some.Y));
        if (!hums) return;
        sums.Set(1, line, waves.TC - (at * waves.C));
        sums.Set(2, line, waves.TS - (at * waves.S));
    }

    // From each mean on: how many, sums of time, its square, code, and time by code.
    private readonly record struct LineTotals(double N, double T, double TT, double Y, double TY);

    // From each mean on: sums of both parts of a wave, of them by time, by code, and by each other.
    private readonly record struct WaveTotals(double C, double S, double TC, double TS, double YC, double YS, double CC, double CS, double SS);

    private readonly record struct Meeting(double Turn, double At, double Explained);
}
