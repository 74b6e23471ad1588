using Acquire.Sweeps;

namespace Acquire;

/// <summary>A way to cut a stream into sweeps that follows no ramp: there is no retrace, no doubt, and nothing to be found out.</summary>
internal abstract class RamplessFollower(ISweepListener listener) : IFollower
{
    private long _next;
    private long _start;
    private SweepStart _reason = SweepStart.Begin;

    public bool Following => true;

    public bool InSweep { get; private set; }

    public long RetraceEnd => _next;

    public virtual double NoiseCodes => 0;

    public int FlybackSwings => 0;

    public RampLock? Found => null;

    public SweepDoubt Doubt => SweepDoubt.None;

    public ushort RampOf(long scan) => 0;

    public LegUnderWay Leg => default;

    public bool StoodAtRail(in TrackedSweep sweep, bool low) => false;

    public void Push(ushort rampCode)
    {
        long scan = _next++;
        if (!InSweep)
        {
            InSweep = true;
            _start = scan;
            listener.SweepBegan(scan, _reason, rising: true);
        }

        Take(scan, scan - _start, rampCode);
    }

    public void EndSegment(SweepEnd end, long lostScans)
    {
        if (InSweep) End(end);
        listener.SegmentEnded(_next, _next);
        _reason = end == SweepEnd.Gap ? SweepStart.Gap : SweepStart.Break;
    }

    public void Complete() => EndSegment(SweepEnd.End, 0);

    /// <summary>Places a scan, the last that was pushed.</summary>
    /// <param name="scan">The scan.</param>
    /// <param name="before">Scans of the sweep before it.</param>
    /// <param name="rampCode">Its code on the ramp's channel.</param>
    protected abstract void Take(long scan, long before, ushort rampCode);

    /// <summary>The sweep's last scan was placed, and the next scan begins another.</summary>
    protected void EndWhole()
    {
        End(SweepEnd.Retrace);
        _reason = SweepStart.Ramp;
    }

    private void End(SweepEnd end)
    {
        InSweep = false;
        listener.SweepEnded(new TrackedSweep(_start, _next, _reason, end, true, 0, 0, 0));
    }
}
