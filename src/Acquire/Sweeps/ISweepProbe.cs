namespace Acquire.Sweeps;

/// <summary>Told, when a ramp has just been found, of the scans that lie in sweeps, before they are followed for good.</summary>
internal interface ISweepProbe
{
    /// <summary>A scan that lies in a sweep.</summary>
    void InSweep(long scan);
}
