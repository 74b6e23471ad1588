namespace Acquire.Capture;

/// <summary>Scans missing at one place in the stream: a known number (a gap) or an unknown one (a break).</summary>
/// <param name="LostScans">Missing scans, at least 1; 0 for a break.</param>
/// <param name="Cause">Why they are missing; <see cref="GapCause.Reset"/> and <see cref="GapCause.Unknown"/> make it a break.</param>
public readonly record struct ScanGap(long LostScans, GapCause Cause)
{
    /// <summary>Most scans that a stream loses in all, 2^61 - 1, so that positions, 64-bit sums of scans given and lost, never overflow. More is no loss but a damaged count.</summary>
    public const long MostLostScans = long.MaxValue / 4;

    /// <summary>Whether the number of missing scans is unknown.</summary>
    public bool IsBreak => Cause is GapCause.Reset or GapCause.Unknown;
}
