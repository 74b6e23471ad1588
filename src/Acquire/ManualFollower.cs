using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire;

/// <summary>A ramp turned by hand: every scan on the axis belongs to a column, a new visit replaces it, nothing is retrace.</summary>
internal sealed class ManualFollower(Rebinner rebinner, ISweepListener listener, int nearColumns) : RamplessFollower(listener)
{
    private readonly RampNoise _noise = new();
    private int _before;
    private int _last;

    public override double NoiseCodes => _noise.Sigma;

    protected override void Take(long scan, long before, ushort rampCode)
    {
        if (before >= 2) _noise.Add(Math.Abs(rampCode - (2 * _last) + _before), scan);
        _before = _last;
        _last = rampCode;
        rebinner.PlaceByHand(scan, nearColumns);
    }
}
