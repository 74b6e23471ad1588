using System.Runtime.InteropServices;

namespace Acquire.Sweeps;

/// <summary>A ramp that leaves a level: what both explain, for one ramp and any level before it.</summary>
/// <remarks>As <see cref="LineSums.Meeting(in LinePart, in LinePart, bool, in LinePrior, long)"/> has it; what depends on the ramp alone is worked out once.</remarks>
[StructLayout(LayoutKind.Auto)]
internal readonly struct RampLeaving
{
    private readonly double _origin;
    private readonly double _scans;
    private readonly double _codes;
    private readonly double _place;
    private readonly double _spread;
    private readonly double _moment;
    private readonly double _known;

    /// <param name="ramp">The ramp's scans.</param>
    /// <param name="prior">What is known before of its slope and of where it leaves the level.</param>
    /// <param name="origin">The code that <paramref name="ramp"/> is reckoned from.</param>
    public RampLeaving(in LinePart ramp, in LinePrior prior, double origin)
    {
        double ahead = (ramp.N - 1) / 2, met = prior.Level - origin;
        _origin = origin;
        _place = ramp.N * ahead;
        _spread = ramp.Spread + (ramp.N * ahead * ahead) + prior.SlopeWeight;
        _moment = ramp.Moment + (ramp.N * ahead * ramp.Off) + (prior.SlopeWeight * prior.Slope);
        _scans = ramp.N + prior.LevelWeight;
        _codes = (ramp.N * ramp.Off) + (prior.LevelWeight * met);
        _known = (prior.SlopeWeight * prior.Slope * prior.Slope) + (prior.LevelWeight * met * met);
    }

    /// <summary>What the level and the ramp explain of the sum of squares about the origin.</summary>
    /// <param name="scans">Scans of the level.</param>
    /// <param name="codes">Sum of their codes.</param>
    /// <param name="slope">Slope of the ramp.</param>
    public double Explained(long scans, long codes, out double slope)
    {
        double rise = _place / _spread, y = codes - (scans * _origin) + _codes;
        double value = (y - (rise * _moment)) / (scans + _scans - (rise * _place));
        slope = (_moment - (_place * value)) / _spread;
        return (value * y) + (slope * _moment) - _known;
    }
}
