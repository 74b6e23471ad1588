namespace Acquire.Sweeps;

/// <summary>How sweeps of one direction have started so far: how steep, and at which code.</summary>
internal struct StartMemory
{
    private const int MostSlopes = 16;

    // Ramps drift: older starts count less.
    private const int MostLevels = 8;

    // Starts that err alike agree without being right: their spread says less than it seems to.
    private const double LevelShare = 0.25;

    // What is further off than that is another ramp.
    private const double OtherDeviations = 3.5;

    private double _slope;
    private double _level;
    private double _spread;
    private int _slopes;
    private int _levels;

    public void Clear() => this = default;

    /// <summary>What is known of the next start; nothing of the slope if this one clearly is another.</summary>
    /// <param name="line">Line through the ramp behind the start.</param>
    /// <param name="sigma">Deviation of one scan, in codes.</param>
    public readonly LinePrior Of(LineFit line, double sigma)
    {
        bool other = Math.Abs(line.Slope - _slope) > OtherDeviations * sigma / Math.Sqrt(Squares(line));
        double level = _levels == 0 ? 0 : LevelShare * sigma * sigma * _levels / _spread;
        return new LinePrior(_slope, other ? 0 : _slopes * Squares(line), _level, other ? 0 : level);
    }

    /// <summary>Takes a start that was found.</summary>
    /// <param name="line">Line through the ramp behind the start, from its first scan on.</param>
    /// <param name="sigma">Deviation of one scan, in codes.</param>
    public void Learn(LineFit line, double sigma)
    {
        if (Math.Abs(line.Slope - _slope) > OtherDeviations * sigma / Math.Sqrt(Squares(line))) _slopes = 0;
        _slope = ((_slope * _slopes) + line.Slope) / (_slopes + 1);
        _slopes = Math.Min(_slopes + 1, MostSlopes);

        // The end of a line has four times the variance of its mean; the place at which it was taken for the end doubles that.
        double level = line.After(1 - line.Scans), variance = Math.Max(8 * sigma * sigma / line.Scans, 1.0 / 12), off = level - _level;
        if (off * off > OtherDeviations * OtherDeviations * (_spread + variance)) _levels = 0;
        _levels = Math.Min(_levels + 1, MostLevels);
        if (_levels == 1) (_level, _spread) = (level, variance);
        else (_level, _spread) = (_level + (off / _levels), _spread + (((off * off) - _spread) / _levels));
        _spread = Math.Max(_spread, 1.0 / 12);
    }

    /// <summary>Sum of the squares of a line's times from their middle.</summary>
    private static double Squares(LineFit line) => (double)line.Scans * line.Scans * line.Scans / 12;
}
