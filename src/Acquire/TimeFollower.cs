using Acquire.Columns;
using Acquire.Sweeps;

namespace Acquire;

/// <summary>No ramp: passes of equal length that follow one another.</summary>
internal sealed class TimeFollower : IFollower
{
    private readonly Rebinner _rebinner;
    private readonly ISweepListener _listener;
    private readonly long _passScans;
    private readonly int _columns;
    private long _next;
    private long _start;
    private bool _inPass;
    private SweepStart _reason = SweepStart.Begin;

    public TimeFollower(double span, double? scanRateHz, int columns, Rebinner rebinner, ISweepListener listener)
    {
        // Where a pass has fewer scans than columns, some columns stay unfilled: a longer pass would put scans at wrong times.
        _passScans = ScansOf(span, scanRateHz, columns);
        _columns = columns;
        _rebinner = rebinner;
        _listener = listener;
    }

    /// <summary>Scans of one pass, rounded to whole ones.</summary>
    /// <param name="span">Its length in seconds, or in scans where no scan rate is known.</param>
    /// <param name="scanRateHz">Scans per second, or null.</param>
    /// <param name="columns">Columns: where nobody knows what time a scan takes, each has one at least.</param>
    public static long ScansOf(double span, double? scanRateHz, int columns) =>
        scanRateHz is { } rate ? (long)Math.Round(span * rate) : Math.Max(columns, (long)Math.Round(span));

    public bool Following => true;

    public bool InSweep => _inPass;

    public long RetraceEnd => _next;

    public double NoiseCodes => 0;

    public int FlybackSwings => 0;

    public RampLock? Found => null;

    public SweepDoubt Doubt => SweepDoubt.None;

    public ushort RampOf(long scan) => 0;

    public LegUnderWay Leg => default;

    public bool StoodAtRail(in TrackedSweep sweep, bool low) => false;

    public void Push(ushort rampCode)
    {
        long scan = _next++;
        if (!_inPass)
        {
            _inPass = true;
            _start = scan;
            _listener.SweepBegan(scan, _reason, rising: true);
        }

        // 128 bits are not needed: the setup's rules allow 2^46 scans, which times 65,536 columns fit 64.
        _rebinner.PlaceAt(scan, (int)((scan - _start) * _columns / _passScans));
        if (scan - _start < _passScans - 1) return;
        End(SweepEnd.Retrace);
        _reason = SweepStart.Ramp;
    }

    public void EndSegment(SweepEnd end, long lostScans)
    {
        if (_inPass) End(end);
        _listener.SegmentEnded(_next, _next);
        _reason = end == SweepEnd.Gap ? SweepStart.Gap : SweepStart.Break;
    }

    public void Complete() => EndSegment(SweepEnd.End, 0);

    private void End(SweepEnd end)
    {
        _inPass = false;
        _listener.SweepEnded(new TrackedSweep(_start, _next, _reason, end, true, 0, 0, 0));
    }
}
