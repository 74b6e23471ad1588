namespace Acquire.Harness.Inspect.Survey;

/// <summary>A leg that ended in one of the stretches of <see cref="LegLanes"/>.</summary>
/// <param name="ExcursionCodes">From turning point to turning point, in codes.</param>
/// <param name="Scans">Scans of its measured part.</param>
/// <param name="From">Place at which that begins, counted from the stretch's first early code.</param>
internal readonly record struct LaneLeg(ushort ExcursionCodes, ushort Scans, ushort From);
