namespace Acquire.Sweeps;

/// <summary>Two lines that meet under hum of one frequency: what <see cref="Hinge"/> finds, where hum deviates by more than noise does.</summary>
/// <remarks>
/// Lines and hum are fitted together by least squares: of a sine wave whose frequency is known, the two parts are linear (as in the
/// three-parameter sine fit of IEEE Std 1057, from memory). Corner and frequency are looked for; of all pairs the one is taken that explains
/// most, in means of blocks. Hum of fewer cycles than two lines may pass for, or that explains no more than chance would, is left alone.
/// A rectifier's hum and a dimmer's have harmonics: the second and the third are added where the scans clearly show them.
/// </remarks>
internal sealed class HummedHinge
{
    // A mean of a quarter of a cycle still has nine tenths of the hum.
    private const double LeastPointsInCycle = 4;
    private const int LeastPoints = 16;
    private const double LeastCycles = 1.5;
    private const double LeastCyclesKnown = 0.5;
    private const double LeastCyclesOfHarmonics = 2;

    // Of the width of a peak over frequency, which is a cycle more or less in the stretch.
    private const double FrequencyStep = 0.4;

    // Where no more is left than twice what noise leaves there is no other hum to be found.
    private const double LikeNoise = 2;

    // The mains' frequency wanders: it is known no better than from so many stretches more.
    private const double MostStretches = 15;

    // Behind searches in vain none is made at ever more starts, up to 63.
    private const int MostDoublings = 6;

    // Beyond some times the reach lies another start.
    private const int MostDoublingsOfReach = 3;

    // Of harmonics, twice the logarithm of how much likelier they must make the scans: what counts as very strong (Kass and Raftery, 1995,
    // from memory).
    private const double VeryStrong = 10;

    // At two means a cycle a wave is no wave.
    private const double LeastPointsInHarmonic = 2.5;

    private readonly HumFit _fit = new();

    // Sum of the squares that noise leaves.
    private double _noise;

    // A cycle in the stretch, in radians per scan.
    private double _cycle;
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
        long block = (to - from + HumFit.MaxPoints - 1) / HumFit.MaxPoints;
        int points = (int)((to - from) / block);
        _reach = reach;
        double cycle = 2 * Math.PI / (points * block), slowest = LeastCycles * cycle, fastest = 2 * Math.PI / (LeastPointsInCycle * block);
        if (points < LeastPoints || slowest >= fastest) return false;
        _cycle = cycle;
        _fit.Take(history, to - (points * block), points, block, near, prior);

        // Of a converter's steps a mean holds no less than a scan where there is no noise to dither them (Bennett, 1948).
        double variance = sigma * sigma / block, most = points * Math.Max(LikeNoise * variance, RampNoise.Floor * RampNoise.Floor);
        _noise = points * variance;
        Meeting best = MeetKnown(cycle, fastest);
        bool known = Left(best) <= most;
        // A search costs as much as some thousands of scans: where no hum is at one start there is seldom some at the next.
        if (!known && _pass > 0)
        {
            _pass--;
            return false;
        }

        if (!known) best = MeetAny(slowest, fastest, FrequencyStep * cycle);
        best = Further(best, known ? StepOfKnown(cycle) : FrequencyStep * cycle);
        bool hums = Left(best) <= most && best.Explained - Meet(0, 0).Explained >= StartSearch.ClearVariances * variance;
        if (!known) NoteSearch(hums);
        if (!hums) return false;
        if (best.Turn >= slowest && !(known && IsWellKnown(cycle)))
        {
            Learn(best.Turn, cycle);
            if (Meet(_turn, best.Harmonics) is var usual && Left(usual) <= most) best = usual;
        }

        at = near + best.At;
        _fit.SetHum(best.Turn, best.Harmonics);
        (double code, double slope) = _fit.LineAt(best.At);
        ramp = new LineFit(code + (slope * (to - 1 - at)), slope, to - Hinge.ScanAt(at));
        return true;
    }

    // Sum of the squares that a fit leaves.
    private double Left(in Meeting meeting) => _fit.Squares - meeting.Explained;

    /// <summary>Adds the harmonics that the scans show.</summary>
    private Meeting WithHarmonics(Meeting best, double step)
    {
        // Harmonics of fewer cycles pass for the corner, sooner where the frequency is to be chosen too.
        if (best.Turn < (step > 0 ? LeastCyclesOfHarmonics : LeastCycles) * _cycle) return best;
        for (int harmonics = 2; harmonics <= HumFit.MostHarmonics && harmonics * best.Turn * _fit.Block * LeastPointsInHarmonic <= 2 * Math.PI; harmonics++)
        {
            // Noise alone leaves no less, but for three deviations of its sum of squares: there is nothing more to be found.
            if (Left(best) <= _noise * (1 + (3 * Math.Sqrt(2.0 / _fit.Points)))) return best;
            Meeting other = Meet(best.Turn, harmonics);
            if (step > 0) other = Nearer(other, step);
            if (IsClear(best, other)) best = other;
        }

        return best;
    }

    /// <summary>Looks further for a corner that seems to lie as far off as it may: strong hum moves the place near which it was said to be.</summary>
    private Meeting Further(Meeting best, double step)
    {
        for (int times = 0; times < MostDoublingsOfReach && Math.Abs(best.At) >= _reach; times++)
        {
            _reach *= 2;
            Meeting further = Meet(best.Turn, best.Harmonics);
            if (step > 0) further = Nearer(further, step);
            further = WithHarmonics(further, step);
            if (further.Explained <= best.Explained) return best;
            best = further;
        }

        return best;
    }

    // The Bayesian information criterion (Schwarz, 1978): each unknown must gain the logarithm of how many are measured.
    private bool IsClear(in Meeting few, in Meeting more)
    {
        double points = _fit.Points, gain = points * Math.Log(Left(few) / Math.Max(double.Epsilon, Left(more)));
        return gain >= (2 * (more.Harmonics - few.Harmonics) * Math.Log(points)) + VeryStrong;
    }

    /// <summary>The likeliest corner under the hum of before, whose frequency fewer cycles than those that tell it tell no better.</summary>
    private Meeting MeetKnown(double cycle, double fastest)
    {
        if (_turn < LeastCyclesKnown * cycle || _turn > fastest) return new Meeting(0, 0, 0, double.NegativeInfinity);
        Meeting known = Meet(_turn, 1);
        if (_turn < LeastCycles * cycle) return known;
        double step = StepOfKnown(cycle);
        return WithHarmonics(step > 0 ? Nearer(known, step) : known, step);
    }

    private double StepOfKnown(double cycle) => _turn < LeastCycles * cycle || IsWellKnown(cycle) ? 0 : FrequencyStep * cycle;

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
        Meeting best = Meet(slowest, 1);
        for (double turn = slowest + step; turn <= fastest; turn += step)
            if (Meet(turn, 1) is var other && other.Explained > best.Explained) best = other;
        return WithHarmonics(Nearer(best, step), step);
    }

    // Noise may hide it at one or two.
    private void NoteSearch(bool found)
    {
        _failed = found ? 0 : _failed + 1;
        _pass = (1 << Math.Clamp(_failed - 2, 0, MostDoublings)) - 1;
    }

    /// <summary>The likeliest frequency near one, in ever smaller steps.</summary>
    private Meeting Nearer(Meeting best, double step)
    {
        for (int round = 0; round < 8; round++)
        {
            step /= 2;
            Meeting slower = Meet(best.Turn - step, best.Harmonics), faster = Meet(best.Turn + step, best.Harmonics);
            if (slower.Explained > best.Explained) best = slower;
            if (faster.Explained > best.Explained) best = faster;
        }

        return best;
    }

    /// <summary>The likeliest corner under hum of a frequency with some of its harmonics, 0 for none.</summary>
    private Meeting Meet(double turn, int harmonics)
    {
        _fit.SetHum(turn, harmonics);
        double least = Math.Max(-_reach, _fit.First + (2 * _fit.Block)), most = Math.Min(_reach, _fit.First + ((_fit.Points - 3) * _fit.Block)), step = (most - least) / 16;
        double at = 0, explained = double.NegativeInfinity;
        for (int i = 0; i <= 16; i++) Try(least + (i * step), ref at, ref explained);
        // To within a few hundredths of a scan, which is less than any noise leaves.
        for (; step > 1.0 / 64; step /= 2)
        {
            double here = at;
            Try(Math.Max(least, here - (step / 2)), ref at, ref explained);
            Try(Math.Min(most, here + (step / 2)), ref at, ref explained);
        }

        return new Meeting(turn, harmonics, at, explained);

        void Try(double place, ref double bestPlace, ref double most)
        {
            double here = _fit.Explained(place);
            if (here > most) (bestPlace, most) = (place, here);
        }
    }

    private readonly record struct Meeting(double Turn, int Harmonics, double At, double Explained);
}
