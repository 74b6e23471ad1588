using Acquire.Sweeps;
using Acquire.Tests.Models;

namespace Acquire.Tests.Sweeps;

/// <summary>What a tracker has ended, where it placed scans, and how often it learnt a ramp; nothing else of it.</summary>
internal sealed class CollectedSweeps : ITrackerListener
{
    public List<TrackedSweep> Ended { get; } = [];

    /// <summary>Gets the course at each scan of a sweep, in codes, where there is room for it; NaN where the scan's own code is as good.</summary>
    public double[] Courses { get; init; } = [];

    /// <summary>How often it began to follow a ramp anew.</summary>
    public int Locks { get; private set; }

    /// <summary>What a tracker finds in a ramp whose direction and edges it learns.</summary>
    public static CollectedSweeps Of(PiecedRamp ramp) => Of(ramp.Codes(), new CollectedSweeps());

    /// <summary>The same, of codes, collected by one that is given.</summary>
    public static CollectedSweeps Of(IEnumerable<ushort> codes, CollectedSweeps found, int fullCode = PiecedRamp.FullCode)
    {
        SweepTracker tracker = new(RampDirection.Auto, fullCode, given: null, found, 1 << 20);
        foreach (ushort code in codes) tracker.Push(code);
        tracker.Complete();
        return found;
    }

    public void SweepEnded(in TrackedSweep sweep) => Ended.Add(sweep);

    public void Locked(in RampLock found, long from, bool provisional) => Locks++;

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
        if (scan < Courses.Length) Courses[scan] = course;
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
