using System.Runtime.CompilerServices;
using Acquire.Capture;

namespace Acquire.Sweeps;

// In the middle of a sweep: scans taken many at a time where none of them can be a turning point.
//
// Sweep says what is decided for each scan. A run of scans within one line of the course is taken at once where bounds show that it
// would decide nothing: how far the scans lie off the line bounds how far they fall below the highest, lie beyond the course, and how long
// the highest stands. What Sweep would have left behind is set from the run's sums. Where the bounds do not show it, the scans go singly.
internal sealed partial class SweepFollower
{
    // Nearer to its start the course is still short, and half of what is decided looks back to the start.
    private const int LeastScans = 32;

    /// <summary>Whether runs may be taken now.</summary>
    public bool IsOnTheWay => _state == State.Sweeping && _halted == 0 && _next > _onsetKnown && _next - _start >= LeastScans && _next == _history.End;

    /// <summary>Takes scans that lie on one line of the course and decide nothing.</summary>
    /// <param name="block">Scans that have not entered yet.</param>
    /// <param name="place">Place in the block's planes of the first scan, the one that waits.</param>
    /// <param name="line">The line on which they lie.</param>
    /// <returns>Scans taken, a multiple of 16 that ends where the line does or a block; or 0, nothing has changed that single scans would not.</returns>
    public int TryRun(ScanBlock block, int place, out CourseLine line)
    {
        ref ushort codes = ref block.Ramp[place];
        long scan = _next;
        int n = RunFrom(scan, ScanBlock.First + block.Loaded - place, out line);
        for (; n > 0; n = HalfOf(scan, n))
        {
            if (!TryMeasure(block, place, n, line, out RampRun run) || !IsRising(line, run, scan) || !IsOnCourse(line, run, scan, n)) continue;
            if (!IsWithoutSpikes(ref codes, line, run, n)) continue;
            _history.EnterRun(block.Ramp.AsSpan(place, n), run, block.Ramp[place + n]);
            _history.AddNoise(ref codes, scan, n);
            _end = scan + n;
            Pass(block, place, line, run, scan, n);
            return n;
        }

        return 0;
    }

    /// <summary>Places scans that are known already, when the start of a sweep was found behind them.</summary>
    /// <param name="end">One past the last.</param>
    /// <returns>Whether some were placed; otherwise the next has to be gone through.</returns>
    private bool TryPlaceRun(long end)
    {
        long scan = _next;
        if (_state != State.Sweeping || _halted > 0 || ((scan + 1) & (PieceScans - 1)) != 0 || scan - _start < LeastScans) return false;
        bool onset = scan <= _onsetKnown && _onsetKnown - _start >= 8;
        if (scan <= _onsetKnown) end = Math.Min(end, _onsetKnown + 1);
        int n = RunFrom(scan, (int)Math.Min(ScanBlock.Most, end - scan), out CourseLine line);
        if (n == 0 || _listener.BlockFrom(scan, n) is not { } block || !_history.Holds(block.Ramp.AsSpan(ScanBlock.First, n), scan)) return false;
        for (; n > 0; n = HalfOf(scan, n))
        {
            if (!TryMeasure(block, ScanBlock.First, n, line, out RampRun run) || !IsRising(line, run, scan)) continue;
            if (scan > _onsetKnown && !IsOnCourse(line, run, scan, n)) continue;
            Pass(block, ScanBlock.First, line, run, scan, n);
            if (onset) block.Off = double.PositiveInfinity;
            _listener.PlaceRun(block, n, onset ? _onsetLine.From(scan) : line);
            if (!EndRun() && !TryLeaveDrift(_next - 1)) ConfirmBehind(_peakAt);
            return true;
        }

        return false;
    }

    /// <summary>How many scans can be taken at once: to the end of the line or of a block.</summary>
    private int RunFrom(long scan, int most, out CourseLine line)
    {
        if (!_course.TryLine(scan, out line)) return 0;
        int n = (int)Math.Min(most, line.End - scan) & -PieceScans;
        return n <= RoomInBlock(scan) ? n : n - (int)((scan + 1 + n) & (BlockScans - 1));
    }

    // Where many scans may decide something, fewer of them may not.
    private static int HalfOf(long scan, int n) => n <= PieceScans ? 0 : Math.Max(PieceScans, Math.Min(n / 2, RoomInBlock(scan)) & -PieceScans);

    private static int RoomInBlock(long scan) => BlockScans - (int)((scan + 1) & (BlockScans - 1));

    private bool TryMeasure(ScanBlock block, int place, int n, in CourseLine line, out RampRun run)
    {
        Unsafe.SkipInit(out run);
        ref ushort codes = ref block.Ramp[place];
        long offset = (line.Value >> 16) - ((long)codes << 16), step = line.Step >> 16;
        if (Math.Abs(offset) + (Math.Abs(step) * n) >= (long)RampRun.MostOff << 16 || !AreNear(block, place, n)) return false;
        RampRun.Measure(ref codes, n, (int)offset, (int)step, Mirror, out run);
        block.Off = run.Off;
        return run.Off <= line.MostOff || RampRun.MostMeanOff(ref codes, n, (int)offset, (int)step) <= line.MostOff;
    }

    /// <summary>Whether codes can be measured from the first of them.</summary>
    private bool AreNear(ScanBlock block, int place, int n)
    {
        if (_full <= RampRun.MostOff) return true;
        (int lowest, int highest) = block.RampRange(place, n);
        int first = block.Ramp[place];
        return highest - first <= RampRun.MostOff && first - lowest <= RampRun.MostOff;
    }

    private ushort Mirror => _rising ? (ushort)0 : (ushort)_full;

    /// <summary>Nothing was decided: sets what the scans leave behind.</summary>
    private void Pass(ScanBlock block, int place, in CourseLine line, in RampRun run, long scan, int n)
    {
        if (run.Peak > _peak)
        {
            _peak = run.Peak;
            // No scan is further above the line than any: the peak lies where the line is near enough to it.
            int from = n <= PieceScans ? 0 : (int)Math.Clamp(((run.Peak - run.Off - Level(line.At(scan))) / Math.Abs(line.Slope)) - 1, 0, n - 1) & -PieceScans;
            _peakAt = scan + RampRun.PlaceOf(run.Peak, ref block.Ramp[place], from, Mirror);
            _courseAtPeak = _course.OnLine(_peakAt);
        }

        _course.TakeRun(scan, n, run);
        _fitted = true;
        Step(n);
    }

    private void Step(int scans)
    {
        _next += scans;
        Steps += scans;
        if (_next <= _furthest) return;
        _goingBack.Earn((int)Math.Min(scans, _next - _furthest));
        _furthest = _next;
    }

    /// <summary>Confirms at a block's end, unless a line goes on beyond it; after what was taken is filed.</summary>
    /// <returns>False where <see cref="LookForDrift"/> is to be called first, when the scans are in all histories.</returns>
    public bool EndRun()
    {
        if (((_next + 1) & (BlockScans - 1)) != 0 || _course.GoesOnAfter(_next - 1)) return true;
        if (IsDriftDue(_next - 1)) return false;
        ConfirmBehind(_peakAt);
        return true;
    }

    /// <summary>No drop: the highest lies at most twice as much above any scan as scans lie off the line, for the line rises.</summary>
    private bool IsRising(in CourseLine line, in RampRun run, long scan)
    {
        double slope = _rising ? line.Slope : -line.Slope, h = Hysteresis;
        return slope > 0 && 2 * run.Off <= h && _peak - Level(line.At(scan)) + run.Off <= h;
    }

    private bool IsOnCourse(in CourseLine line, in RampRun run, long scan, int n)
    {
        double off = run.Off, slope = Math.Abs(line.Slope), first = Level(line.At(scan)), last = Level(line.At(scan + n - 1));

        // No jump: neither above the line nor above the one at the highest scan before.
        double beyond = Math.Max(first - Level(_courseAtPeak.After(scan - _peakAt)), last - Level(_courseAtPeak.After(scan + n - 1 - _peakAt)));
        if (off + Math.Max(0, beyond) > Math.Max(10 * _sigma, 0.04 * Span)) return false;

        // No halt: the line itself brings a new highest in time, by the way that the ramp moves in it, however fast the ramp is taken to be.
        double reach = (10 * _sigma) + 2, way = Math.Max(((scan - _peakAt) * slope) + Math.Max(0, _peak - first + off), 2 * off) + (2 * slope);
        if (way <= 6 * slope) return true;
        long since = Math.Max(1, _peakAt - _start);
        return way <= reach && way * Math.Abs(_courseAtPeak.Slope) <= reach * slope && way * (0.3 * (last + off - _startLevel)) <= reach * slope * since;
    }

    /// <summary>Whether the history would take all scans as they are.</summary>
    private bool IsWithoutSpikes(ref ushort codes, in CourseLine line, in RampRun run, int n)
    {
        double sigma = _history.Noise.Sigma, off = run.Off;
        for (int i = 1; i <= 3; i++)
            off = Math.Max(off, Math.Abs(Unsafe.Subtract(ref codes, i) - line.At(line.Start - i)));
        // Off one neighbour, and off the line through two: in deviations from a common line, twice and three times the most.
        if ((2 * off) + Math.Abs(line.Slope) > Math.Max(8 * sigma, 0.01 * _full)) return false;
        double limit = Math.Max(8 * sigma, 0.005 * _full);
        return 3 * off <= limit || (off < RampRun.MostOff && RampRun.MostBend(ref codes, n) <= 2 * limit);
    }
}
