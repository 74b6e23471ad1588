namespace Acquire.Sweeps;

/// <summary>Scans that may be the first of a sweep, while nobody can say yet.</summary>
/// <param name="From">First of them, or -1: there are none.</param>
/// <param name="End">One past the last.</param>
/// <param name="Reason">How the sweep would have begun.</param>
/// <param name="Rising">Whether the ramp would draw with rising codes.</param>
internal readonly record struct SweepDoubt(long From, long End, SweepStart Reason, bool Rising)
{
    /// <summary>No scan is in doubt.</summary>
    public static readonly SweepDoubt None = new(-1, -1, SweepStart.Ramp, Rising: true);
}
