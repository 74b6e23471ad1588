using Acquire.Sweeps;

namespace Acquire;

/// <summary>What the tracker knows of the ramp.</summary>
/// <param name="Present">A ramp was found: at least one sweep began or ended.</param>
/// <param name="LowCode">Lower end of the sweeps, in codes.</param>
/// <param name="HighCode">Upper end of the sweeps, in codes.</param>
/// <param name="NoiseCodes">Standard deviation of the ramp around its course, in codes.</param>
/// <param name="Direction">Rising, falling or both; auto while not known.</param>
/// <param name="ClippedLow">The ramp runs into code 0 and stays there.</param>
/// <param name="ClippedHigh">The ramp runs into the full code and stays there.</param>
/// <param name="AxisChanges">How often learnt edges moved after they were frozen.</param>
/// <param name="FlybackSwings">Swings of a flyback that rings which rose by a twentieth of the way or more, and were left out.</param>
public readonly record struct RampReport(
    bool Present, double LowCode, double HighCode, double NoiseCodes, RampDirection Direction, bool ClippedLow, bool ClippedHigh, int AxisChanges, int FlybackSwings);
