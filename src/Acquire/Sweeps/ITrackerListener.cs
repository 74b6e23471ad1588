namespace Acquire.Sweeps;

/// <summary>Hears, besides sweeps, when a ramp was found.</summary>
internal interface ITrackerListener : ISweepListener, ISweepProbe
{
    /// <summary>A ramp was found; what is in the history from a scan on is gone through now.</summary>
    /// <param name="found">Direction, ends, noise.</param>
    /// <param name="from">First scan that is gone through; scans before it are never assigned.</param>
    /// <param name="provisional">The ends are the converter's range: no whole sweep has been seen.</param>
    void Locked(in RampLock found, long from, bool provisional);
}
