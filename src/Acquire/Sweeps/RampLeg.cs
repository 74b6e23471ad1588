namespace Acquire.Sweeps;

/// <summary>One stretch of the ramp from one turning point to the next, rests at its ends included.</summary>
/// <param name="Up">The codes rise.</param>
/// <param name="Start">Scan of the turning point at its start.</param>
/// <param name="End">Scan of the turning point at its end.</param>
internal readonly record struct RampLeg(bool Up, long Start, long End);
