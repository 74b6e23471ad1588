using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire;

/// <summary>A ramp turned by hand: every scan on the axis belongs to a column, a new visit replaces it, nothing is retrace.</summary>
internal sealed class ManualFollower(Rebinner rebinner, ISweepListener listener, int nearColumns) : IFollower
{
    private readonly RampNoise _noise = new();
    private long _next;
    private long _start;
    private bool _under;
    private SweepStart _reason = SweepStart.Begin;
    private int _before;
    private int _last;

    public bool Following => true;

    public bool InSweep => _under;

    public long RetraceEnd => _next;

    public double NoiseCodes => _noise.Sigma;

    public int FlybackSwings => 0;

    public RampLock? Found => null;

    public SweepDoubt Doubt => SweepDoubt.None;

    public ushort RampOf(long scan) => 0;

    public LegUnderWay Leg => default;

    public bool StoodAtRail(in TrackedSweep sweep, bool low) => false;

    public void Push(ushort rampCode)
    {
        long scan = _next++;
        if (!_under)
        {
            _under = true;
            _start = scan;
            listener.SweepBegan(scan, _reason, rising: true);
        }

        if (scan - _start >= 2) _noise.Add(Math.Abs(rampCode - (2 * _last) + _before), scan);
        _before = _last;
        _last = rampCode;
        rebinner.PlaceByHand(scan, nearColumns);
    }

    public void EndSegment(SweepEnd end, long lostScans)
    {
        if (_under) listener.SweepEnded(new TrackedSweep(_start, _next, _reason, end, true, 0, 0, 0));
        _under = false;
        listener.SegmentEnded(_next, _next);
        _reason = end == SweepEnd.Gap ? SweepStart.Gap : SweepStart.Break;
    }

    public void Complete() => EndSegment(SweepEnd.End, 0);
}
