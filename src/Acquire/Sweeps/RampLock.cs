namespace Acquire.Sweeps;

/// <summary>What the learner found out about the ramp: enough for the follower to start.</summary>
/// <param name="Direction">Rising, falling or both.</param>
/// <param name="LowCode">Lower end of the sweeps.</param>
/// <param name="HighCode">Upper end of the sweeps.</param>
/// <param name="NoiseCodes">Deviation around the local course, hum included.</param>
/// <param name="RippleCodes">Deviation of a whole sweep from a parabola: hum too slow to be off the local course.</param>
internal readonly record struct RampLock(RampDirection Direction, double LowCode, double HighCode, double NoiseCodes, double RippleCodes);
