using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>What a tracker has ended, and nothing else of it.</summary>
internal sealed class CollectedSweeps : ITrackerListener
{
    public List<TrackedSweep> Ended { get; } = [];

    public void SweepEnded(in TrackedSweep sweep) => Ended.Add(sweep);

    public void Locked(in RampLock found, long from, bool provisional)
    {
    }

    public void InSweep(long scan)
    {
    }

    public void SweepBegan(long scan, SweepStart reason, bool rising)
    {
    }

    public void PlacePast(long to, LineFit course, long end)
    {
    }

    public void Place(long scan, double course, double slope)
    {
    }

    public void Confirm(long scan)
    {
    }

    public void SweepCancelled()
    {
    }

    public void SegmentEnded(long end, long retraceEnd)
    {
    }
}
