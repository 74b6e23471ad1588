using Acquire.Sources.Synthetic;
using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>Runs a synthetic bench through the tracker alone and keeps what it decided beside the truth.</summary>
internal sealed class TrackedBench : ITrackerListener
{
    private readonly List<double> _courses = [];
    private readonly List<(long First, List<double> Courses)> _placed = [];

    private TrackedBench(SyntheticOptions options) => Options = options;

    public SyntheticOptions Options { get; }

    public SyntheticTruth Truth { get; private set; } = null!;

    public List<TrackedSweep> Sweeps { get; } = [];

    /// <summary>Per sweep, the course given for each of its scans; NaN is the scan's own code.</summary>
    public IReadOnlyList<(long First, List<double> Courses)> Placed => _placed;

    public List<ScanTruth> Scans { get; } = [];

    public List<ushort> Codes { get; } = [];

    public RampLock? Found { get; private set; }

    private long _first;

    public static TrackedBench Run(SyntheticOptions options, RampDirection direction, (double Low, double High)? edges = null, int history = 1 << 20)
    {
        var run = new TrackedBench(options);
        var bench = new SyntheticBench(options);
        int channels = options.Format.ChannelCount, ramp = options.Format.RampChannel;
        var tracker = new SweepTracker(direction, options.Format.FullCode, edges, run, history);
        var words = new ushort[4_096 * channels];
        var truth = new ScanTruth[4_096];
        while (true)
        {
            SyntheticRead read = bench.ReadWithTruth(words, truth);
            if (read.Kind == SyntheticReadKind.End) break;
            if (read.Kind != SyntheticReadKind.Scans)
            {
                bool gap = read.Kind == SyntheticReadKind.Gap;
                tracker.EndSegment(gap ? SweepEnd.Gap : SweepEnd.Break, gap ? read.Count : 0);
                continue;
            }

            for (int i = 0; i < read.Count; i++)
            {
                run.Codes.Add(words[(i * channels) + ramp]);
                run.Scans.Add(truth[i]);
                tracker.Push(words[(i * channels) + ramp]);
            }
        }

        tracker.Complete();
        run.Truth = bench.Truth;
        return run;
    }

    public void Locked(in RampLock found, long from, bool provisional) => Found = found;

    public void InSweep(long scan)
    {
    }

    public void SweepBegan(long scan, SweepStart reason, bool rising)
    {
        _first = scan;
        _courses.Clear();
    }

    public void PlacePast(long to, LineFit course, long end)
    {
        for (long scan = _first + _courses.Count; scan < to; scan++) _courses.Add(course.After(scan - end));
    }

    public void Place(long scan, double course, double slope)
    {
        Assert.Equal(_first + _courses.Count, scan); // F1: in order, none left out
        _courses.Add(course);
    }

    public void Confirm(long scan) => Assert.True(scan <= _first + _courses.Count);

    public void SweepEnded(in TrackedSweep sweep)
    {
        Assert.True(sweep.EndScan > sweep.StartScan, "F2: a sweep's end is after its start.");
        Sweeps.Add(sweep);
        _placed.Add((sweep.StartScan, _courses[..(int)(sweep.EndScan - sweep.StartScan)]));
    }

    public void SweepCancelled()
    {
    }

    public void SegmentEnded(long end, long retraceEnd)
    {
    }
}
