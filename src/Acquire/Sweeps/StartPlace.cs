namespace Acquire.Sweeps;

/// <summary>Where a start was found, as near as means of so many scans tell.</summary>
/// <param name="Foot">First scan of the rest before it; the ramp's where there is none.</param>
/// <param name="Start">First scan of the ramp.</param>
/// <param name="Block">Scans of a mean.</param>
internal readonly record struct StartPlace(long Foot, long Start, long Block);
