using Acquire.Capture;

namespace Acquire.Sources.Sessions;

/// <summary>Scans missing inside a half.</summary>
/// <param name="AtScan">Scans of the half before the loss.</param>
/// <param name="LostScans">Missing scans; 0 for a break.</param>
/// <param name="Cause">Why.</param>
internal readonly record struct StreamLoss(int AtScan, long LostScans, GapCause Cause)
{
    public bool IsBreak => LostScans == 0;
}
