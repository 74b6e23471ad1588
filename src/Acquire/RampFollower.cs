using Acquire.Sweeps;

namespace Acquire;

/// <summary>Sweeps by the ramp.</summary>
internal sealed class RampFollower(SweepTracker tracker) : IFollower
{
    public bool Following => tracker.Following;

    public bool InSweep => tracker.InSweep;

    public long RetraceEnd => tracker.RetraceEnd;

    public double NoiseCodes => tracker.NoiseCodes;

    public int FlybackSwings => tracker.FlybackSwings;

    public RampLock? Found => tracker.Following ? tracker.Found : null;

    public SweepDoubt Doubt => tracker.Doubt;

    public ushort RampOf(long scan) => tracker[scan];

    public LegUnderWay Leg => tracker.LearnerLeg;

    public bool StoodAtRail(in TrackedSweep sweep, bool low) => tracker.StoodAtRail(sweep, low);

    public void Push(ushort rampCode) => tracker.Push(rampCode);

    public void EndSegment(SweepEnd end, long lostScans) => tracker.EndSegment(end, lostScans);

    public void Complete() => tracker.Complete();
}
