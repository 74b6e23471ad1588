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
    private const int LeastScans = 64;

    /// <summary>Whether runs may be taken now.</summary>
    public bool IsOnTheWay => _state == State.Sweeping && _halted == 0 && _next > _onsetKnown && _next - _start >= LeastScans && _next == _history.End;

    /// <summary>The listener wants nothing but whole blocks: see <see cref="TryRun"/>.</summary>
    /// <param name="block">The block.</param>
    /// <param name="place">Place in the block's planes of the first scan, the one that waits.</param>
    /// <param name="line">The line on which the run lies.</param>
    /// <returns>Scans taken: 16, 32, 48 or 64; or 0, nothing has changed that single scans would not.</returns>
    public int TryRun(ScanBlock block, int place, out CourseLine line)
    {
        ref ushort codes = ref block.Ramp[place];
        long scan = _next;
        int n = ScanBlock.First + ScanBlock.Scans - place;
        if (!_course.TryLine(scan, out line)) return 0;
        if (line.End - scan < n) n = (int)(line.End - scan);
        double slope = _rising ? line.Slope : -line.Slope;
        if ((n & 15) != 0 || n == 0 || !(slope > 0)) return 0;

        long offset = (line.Value >> 16) - ((long)codes << 16), step = line.Step >> 16;
        if (Math.Abs(offset) + (Math.Abs(step) * n) >= (long)RampRun.MostOff << 16) return 0;
        ushort mirror = _rising ? (ushort)0 : (ushort)_full;
        RampRun run = RampRun.Measure(ref codes, n, (int)offset, (int)step, mirror);
        if (run.Off > line.MostOff && RampRun.MostMeanOff(ref codes, n, (int)offset, (int)step) > line.MostOff) return 0;
        if (!IsQuiet(line, run, scan, n, slope) || !IsWithoutSpikes(ref codes, line, run, n)) return 0;

        // Nothing is decided: set what the scans leave behind.
        if (run.Peak > _peak)
        {
            _peak = run.Peak;
            _peakAt = scan + RampRun.PlaceOf(run.Peak, ref codes, mirror);
            _courseAtPeak = _course.OnLine(_peakAt);
        }

        _history.EnterRun(block.Ramp.AsSpan(place, n), run, block.Ramp[place + n]);
        if (_history.Noise.IsSettled) _history.AddNoise(ref codes, scan, n);
        _course.TakeRun(scan, n, run);
        _fitted = true;
        PassNew(n);
        return n;
    }

    private void PassNew(int scans)
    {
        _next = _end = _furthest = _next + scans;
        Steps += scans;
        _goingBack.Earn(scans);
    }

    /// <summary>Confirms at a block's end; after what was taken is filed.</summary>
    public void EndBlock()
    {
        if (((_next + 1) & (BlockScans - 1)) == 0) ConfirmBehind(_peakAt);
    }

    private bool IsQuiet(in CourseLine line, in RampRun run, long scan, int n, double slope)
    {
        if (run.Highest - run.Origin > RampRun.MostOff || run.Origin - run.Lowest > RampRun.MostOff) return false;
        double off = run.Off, first = Level(line.At(scan)), last = Level(line.At(scan + n - 1));

        // No drop: the highest lies at most twice as much above any scan, as the line rises.
        double h = Hysteresis;
        double above = _peak - first + off;
        if (2 * off > h || above > h) return false;

        // No jump: neither above the line nor above the one at the highest scan before.
        double beyond = Math.Max(first - Level(_courseAtPeak.After(scan - _peakAt)), last - Level(_courseAtPeak.After(scan + n - 1 - _peakAt)));
        if (off + Math.Max(0, beyond) > Math.Max(10 * _sigma, 0.04 * Span)) return false;

        // No halt: the line itself brings a new highest in time.
        double way = 0.3 * (last + off - _startLevel) / Math.Max(1, _peakAt - _start);
        double fastest = Math.Max(Math.Max(slope, Math.Abs(_courseAtPeak.Slope)), way);
        double patience = Math.Max(6, ((10 * _sigma) + 2) / fastest);
        return scan - _peakAt + (Math.Max(0, above) / slope) + 2 <= patience && (2 * off / slope) + 2 <= patience;
    }

    /// <summary>Whether the history would take all scans as they are.</summary>
    private bool IsWithoutSpikes(ref ushort codes, in CourseLine line, in RampRun run, int n)
    {
        double sigma = _history.Noise.Sigma, off = run.Off;
        for (int i = 1; i <= 3; i++)
            off = Math.Max(off, Math.Abs(System.Runtime.CompilerServices.Unsafe.Subtract(ref codes, i) - line.At(line.Start - i)));
        // Off one neighbour, and off the line through two: in deviations from a common line, twice and three times the most.
        if ((2 * off) + Math.Abs(line.Slope) > Math.Max(8 * sigma, 0.01 * _full)) return false;
        double limit = Math.Max(8 * sigma, 0.005 * _full);
        return 3 * off <= limit || (off < RampRun.MostOff && RampRun.MostBend(ref codes, n) <= 2 * limit);
    }
}
