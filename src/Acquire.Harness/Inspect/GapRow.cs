using Acquire.Capture;

namespace Acquire.Harness.Inspect;

/// <summary>One gap or break as it is listed.</summary>
/// <param name="AtScan">Index of the first scan after it.</param>
/// <param name="LostScans">Scans that are missing; null for a break.</param>
/// <param name="Cause">Why.</param>
internal readonly record struct GapRow(long AtScan, long? LostScans, GapCause Cause);
