namespace Acquire.Sweeps;

/// <summary>How sweeps of one direction have started so far: how steep, and at which code.</summary>
internal struct StartMemory
{
    private const int MostSlopes = 16;

    // Ramps drift in size too: slopes are not known better than to this share (an assumption of ours).
    private const double LeastSlopeShare = 0.003;

    // Ramps and rests drift: older starts count less.
    private const int MostStarts = 8;

    // Starts that err alike agree without being right: their spread says less than it seems to.
    private const double LevelShare = 0.25;

    // How much flyback and rest together vary before it was seen: that counts as one sweep (an assumption of ours).
    private const double GuessedShare = 0.02;

    // What is further off than that is another ramp. The place that was taken for the start makes a slope a little too steep or too flat.
    private const double OtherDeviations = 4.5;

    private double _slope;
    private double _slopeWeight;
    private double _level;
    private double _spread;
    private double _wait;
    private double _waitSquares;
    private int _slopes;
    private int _levels;
    private int _waits;

    public void Clear() => this = default;

    /// <summary>What is known of the next start; nothing of the slope if this one clearly is another.</summary>
    /// <param name="line">Line through the ramp behind the start.</param>
    /// <param name="sigma">Deviation of one scan, in codes.</param>
    public readonly LinePrior Of(LineFit line, double sigma)
    {
        double weight = WeightOf(sigma);
        if (IsOther(line, weight, sigma)) return new LinePrior(0, 0);
        double level = _levels == 0 ? 0 : LevelShare * sigma * sigma * _levels / _spread;
        return new LinePrior(_slope, weight, _level, level);
    }

    /// <summary>Takes a start that was found.</summary>
    /// <param name="line">Line through the ramp behind the start, from its first scan on.</param>
    /// <param name="sigma">Deviation of one scan, in codes.</param>
    public void Learn(LineFit line, double sigma)
    {
        if (IsOther(line, WeightOf(sigma), sigma)) (_slopes, _slopeWeight) = (0, 0);
        if (_slopes == MostSlopes) _slopeWeight -= _slopeWeight / _slopes--;
        double own = Squares(line), weight = _slopeWeight + own;
        _slope = ((_slope * _slopeWeight) + (line.Slope * own)) / weight;
        (_slopeWeight, _slopes) = (weight, _slopes + 1);

        // The end of a line has four times the variance of its mean; the place at which it was taken for the end doubles that.
        double level = line.After(1 - line.Scans), variance = Math.Max(8 * sigma * sigma / line.Scans, 1.0 / 12), off = level - _level;
        if (off * off > OtherDeviations * OtherDeviations * (_spread + variance)) _levels = 0;
        _levels = Math.Min(_levels + 1, MostStarts);
        if (_levels == 1) (_level, _spread) = (level, variance);
        else (_level, _spread) = (_level + (off / _levels), _spread + (((off * off) - _spread) / _levels));
        _spread = Math.Max(_spread, 1.0 / 12);
    }

    /// <summary>Where the next sweep starts, as far as those before say.</summary>
    /// <param name="ended">One past the last scan of a whole sweep before it, or -1: there was none just before.</param>
    /// <param name="corner">Scans within which a corner shows: starts that err alike agree without being right.</param>
    public readonly StartTime At(long ended, double corner)
    {
        return ended < 0 || _waits < 2 ? default : new StartTime(ended + _wait, (WaitVariance * (1 + (1.0 / _waits))) + (corner * corner));
    }

    /// <summary>Takes how long a sweep came after a whole one.</summary>
    /// <param name="scans">Scans of flyback and rest between them.</param>
    public void LearnWait(long scans)
    {
        double off = scans - _wait;
        // The instrument was set anew.
        if (_waits > 0 && off * off > 2 * OtherDeviations * OtherDeviations * WaitVariance) _waits = 0;
        if (_waits == MostStarts) _waitSquares -= _waitSquares / _waits--;
        _waits++;
        if (_waits == 1) (_wait, _waitSquares) = (scans, 0);
        else (_wait, _waitSquares) = (_wait + (off / _waits), _waitSquares + (off * off * (_waits - 1) / _waits));
    }

    private readonly double WaitVariance
    {
        get
        {
            double guess = Math.Max(1, GuessedShare * _wait);
            return ((guess * guess) + _waitSquares) / _waits;
        }
    }

    // What the slope is worth: the variance of a scan over that of the slope.
    private readonly double WeightOf(double sigma)
    {
        double least = LeastSlopeShare * _slope / sigma;
        return _slopeWeight / (1 + (_slopeWeight * least * least));
    }

    private readonly bool IsOther(LineFit line, double weight, double sigma) =>
        weight <= 0 || Math.Abs(line.Slope - _slope) > OtherDeviations * sigma * Math.Sqrt((1 / Squares(line)) + (1 / weight));

    /// <summary>Sum of the squares of a line's times from their middle.</summary>
    private static double Squares(LineFit line) => (double)line.Scans * line.Scans * line.Scans / 12;
}
