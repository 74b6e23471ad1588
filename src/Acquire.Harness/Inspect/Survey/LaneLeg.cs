namespace Acquire.Harness.Inspect.Survey;

/// <summary>A leg that ended in one of the stretches of <see cref="LegLanes"/>.</summary>
/// <param name="Rising">It rises.</param>
/// <param name="ExcursionCodes">From turning point to turning point, in codes.</param>
/// <param name="From">Place at which its measured part begins, counted from the stretch's first early code.</param>
/// <param name="Scans">Scans of that part.</param>
internal readonly record struct LaneLeg(bool Rising, ushort ExcursionCodes, ushort From, ushort Scans);
