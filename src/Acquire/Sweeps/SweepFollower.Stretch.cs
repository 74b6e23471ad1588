using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
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

    // A line through fewer scans does not say where they lie.
    private const int LeastOnLine = 8;

    /// <summary>Whether runs may be taken now.</summary>
    public bool IsOnTheWay => _state == State.Sweeping && _halted == 0 && _away == Away.Not && _next > _onsetKnown && _next - _start >= LeastScans && _next == _history.End;

    /// <summary>Takes scans that lie on lines of the course and decide nothing.</summary>
    /// <param name="block">Scans that have not entered yet.</param>
    /// <param name="place">Place in the block's planes of the first scan, the one that waits.</param>
    /// <param name="lines">Gets the lines on which they lie, one after another, each as far as it was taken: a multiple of 16 scans that ends where the line does or a block, or shorter ones that fill 16.</param>
    /// <param name="confirmed">Gets for each line the scan before which none will be withdrawn, to be said when it is filed, or -1: nothing is to be said.</param>
    /// <returns>How many lines; 0: nothing has changed that single scans would not.</returns>
    public int TryRuns(ScanBlock block, int place, Span<CourseLine> lines, Span<long> confirmed)
    {
        int end = ScanBlock.First + block.Loaded, count = 0;
        RenewLimits();
        while (place < end && !IsToLookForDrift)
        {
            long first = _next;
            int taken = TryAhead(block, place, end - place, lines[count..], confirmed[count..]);
            if (taken == 0 && TryRun(block, place, end - place, out lines[count]))
            {
                taken = 1;
                confirmed[count] = IsDue && TryConfirm(_peakAt) ? _confirmed : -1;
            }

            if (taken == 0) break;
            count += taken;
            place += (int)(_next - first);
        }

        return count;
    }

    private bool TryRun(ScanBlock block, int place, int most, out CourseLine line)
    {
        long scan = _next;
        int n = RunFrom(scan, most, out line);
        Unsafe.SkipInit(out RampRun run);
        while (n > 0 && !DecidesNothing(block, place, line, scan, n, out run)) n = HalfOf(scan, n);
        if (n == 0) return false;
        _history.EnterRun(block.Ramp.AsSpan(place, n), run, block.Ramp[place + n]);
        _history.Noise.AddSpaced(ref block.Ramp[place], scan, n);
        _end = scan + n;
        Pass(block, place, line, run, scan, n);
        line = line.UpTo(_end);
        return true;
    }

    private bool DecidesNothing(ScanBlock block, int place, in CourseLine line, long scan, int n, out RampRun run) =>
        TryMeasure(block, place, n, line, out run) && IsRising(ref block.Ramp[place], line, run, n) && IsOnCourse(line, run, scan, n) && IsWithoutSpikes(ref block.Ramp[place], line, run, n);

    /// <summary>Places scans that are known already, when the start of a sweep was found behind them.</summary>
    /// <param name="end">One past the last.</param>
    /// <returns>Whether some were placed; otherwise the next has to be gone through.</returns>
    private bool TryPlaceRun(long end)
    {
        long scan = _next;
        if (_state != State.Sweeping || _halted > 0 || _away != Away.Not || ((scan + 1) & (PieceScans - 1)) != 0) return false;
        bool onset = scan <= _lineKnown;
        if (onset ? scan <= _start : scan - _start < LeastScans) return false;
        RenewLimits();
        int n = RunFrom(scan, (int)Math.Min(ScanBlock.Most, end - scan), out CourseLine line);
        if (n == 0 || _listener.BlockFrom(scan, n) is not { } block || !_history.Holds(block.Ramp.AsSpan(ScanBlock.First, n), scan)) return false;
        for (; n > 0; n = HalfOf(scan, n))
        {
            if (!TryMeasure(block, ScanBlock.First, n, line, out RampRun run) || !IsRising(ref block.Ramp[ScanBlock.First], line, run, n)) continue;
            if (!onset && !IsOnCourse(line, run, scan, n)) continue;
            Pass(block, ScanBlock.First, line, run, scan, n);
            _listener.PlaceRun(block, n, line);
            if (IsDue || (IsToLookForDrift && !TryLeaveDrift(_next - 1, isNoBump: false))) ConfirmBehind(_peakAt);
            return true;
        }

        return false;
    }

    /// <summary>How many scans can be taken at once: to the end of the line or of a block.</summary>
    private int RunFrom(long scan, int most, out CourseLine line)
    {
        if (scan <= _lineKnown) line = _onsetLine.From(scan);
        else if (!TryLine(scan, out line)) return 0;
        int n = (int)Math.Min(Math.Min(most, RampRun.MostScans), line.End - scan) & -PieceScans;
        return n <= RoomInBlock(scan) ? n : n - (int)((scan + 1 + n) & (BlockScans - 1));
    }

    private bool TryLine(long scan, out CourseLine line)
    {
        bool found = _course.TryLine(scan, out line);
        NoteBack(scan);
        return found;
    }

    // Where many scans may decide something, fewer of them may not.
    private static int HalfOf(long scan, int n) => n <= PieceScans ? 0 : Math.Max(PieceScans, Math.Min(n / 2, RoomInBlock(scan)) & -PieceScans);

    private static int RoomInBlock(long scan) => BlockScans - (int)((scan + 1) & (BlockScans - 1));

    private bool TryMeasure(ScanBlock block, int place, int n, in CourseLine line, out RampRun run)
    {
        Unsafe.SkipInit(out run);
        ref ushort codes = ref block.Ramp[place];
        long offset = (line.Value >> 16) - ((long)codes << 16), step = line.Step >> 16;
        if (Lanes.Size(offset) + (Lanes.Size(step) * n) >= (long)RampRun.MostOff << 16 || !AreNear(block, place, n)) return false;
        RampRun.Measure(ref codes, n, (int)offset, (int)step, Mirror, out run);
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
            _peakAt = scan + PlaceOfPeak(ref block.Ramp[place], line, run, n);
            _courseAtPeak = scan <= _lineKnown ? OnOnset(_peakAt) : _course.OnLine(_peakAt);
        }

        if (scan <= _lineKnown) _course.TakeOver(OnOnset(scan + n - 1));
        else _course.TakeRun(scan, n, run);
        _fitted = true;
        Step(n);
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private int PlaceOfPeak(ref ushort codes, in CourseLine line, in RampRun run, int n)
    {
        if (n <= PieceScans) return RampRun.PlaceOf(run.Peak, ref codes, 0, Mirror);
        if (n <= BlockScans) return RampRun.PlaceOfFew(run.Peak, ref codes, Mirror);
        // No scan is further above the line than any: the peak lies where the line is near enough to it.
        double near = (run.Peak - run.Off - Level(line.First)) / Math.Abs(line.Slope);
        return RampRun.PlaceOf(run.Peak, ref codes, double.ConvertToIntegerNative<int>(Math.Clamp(near - 1, 0, n - 1)) & -PieceScans, Mirror);
    }

    private void Step(int scans)
    {
        _next += scans;
        Steps += scans;
        if (_next <= _furthest) return;
        _goingBack.Earn((int)Math.Min(scans, _next - _furthest));
        _furthest = _next;
    }

    // At a block's end, unless a line goes on beyond it.
    private bool IsAtBlockEnd => ((_next + 1) & (BlockScans - 1)) == 0 && _next > _lineKnown + 1 && !_course.GoesOnAfter(_next - 1);

    private bool IsDue => IsAtBlockEnd && !IsDriftDue(_next - 1) && _peakAt >= _confirmDue;

    /// <summary>Whether <see cref="LookForDrift"/> is to be called, when the scans taken are filed and in all histories.</summary>
    public bool IsToLookForDrift => IsAtBlockEnd && IsDriftDue(_next - 1);

    /// <summary>What runs are judged by; it holds until noise, deviation or ends are worked out anew.</summary>
    /// <param name="Noise">The noise that it was worked out from.</param>
    /// <param name="Sigma">The deviation likewise.</param>
    /// <param name="Span">What lies between the ends likewise: they move a little with each sweep.</param>
    /// <param name="Drop">Codes below the highest by which a sweep ends.</param>
    /// <param name="Jump">Codes above the course that are a jump, however slow the ramp.</param>
    /// <param name="Reach">Codes that the ramp moves while its highest reading may stand.</param>
    /// <param name="Tip">Codes by which a spike lies off both its neighbours.</param>
    /// <param name="Bend">Codes by which a spike lies off the line through scans before it.</param>
    [StructLayout(LayoutKind.Auto)]
    private readonly record struct RunLimits(double Noise, double Sigma, double Span, double Drop, double Jump, double Reach, double Tip, double Bend);

    private RunLimits _limits;

    private void RenewLimits()
    {
        double noise = _history.Noise.Sigma, span = Span;
        if (_limits.Noise == noise && _limits.Sigma == _sigma && _limits.Span == span) return;
        _limits = new RunLimits(
            noise, _sigma, span, Hysteresis, Math.Max(10 * _sigma, 0.04 * span), (10 * _sigma) + 2, Math.Max(8 * noise, 0.01 * _full), Math.Max(8 * noise, 0.005 * _full));
    }

    /// <summary>No drop: the highest lies at most twice as much above any scan as scans lie off the line, for the line rises.</summary>
    private bool IsRising(ref ushort codes, in CourseLine line, in RampRun run, int n)
    {
        double h = _limits.Drop, slope = _rising ? line.Slope : -line.Slope, under = _peak - Level(line.First);
        return slope > 0 && ((2 * run.Off <= h && under + run.Off <= h) || IsRisingInPairs(ref codes, line, n, h, under));
    }

    // It is the lower of two neighbours that counts for the highest, and the higher for a drop: in noise they lie nearer to the line.
    [MethodImpl(MethodImplOptions.NoInlining)]
    private bool IsRisingInPairs(ref ushort codes, in CourseLine line, int n, double h, double under)
    {
        (double most, double least) = RampRun.PairsOff(ref codes, n, OffsetOf(line, codes), (int)(line.Step >> 16));
        return most + least <= h && under + (_rising ? least : most) <= h;
    }

    // Line less a code, in 1/65,536 codes.
    private static int OffsetOf(in CourseLine line, ushort code) => (int)((line.Value >> 16) - ((long)code << 16));

    private bool IsOnCourse(in CourseLine line, in RampRun run, long scan, int n)
    {
        double off = run.Off, slope = Math.Abs(line.Slope), first = Level(line.First), last = first + (slope * (n - 1));

        // No jump: neither above the line nor above the one at the highest scan before.
        double courseSlope = _rising ? _courseAtPeak.Slope : -_courseAtPeak.Slope, since = scan - _peakAt;
        double beyond = first - Level(_courseAtPeak.End) - (courseSlope * since);
        beyond = double.MaxNative(beyond, beyond + ((slope - courseSlope) * (n - 1)));
        if (off + double.MaxNative(0, beyond) > _limits.Jump) return false;

        // No halt: the line itself brings a new highest in time, by the way that the ramp moves in it, however fast the ramp is taken to be.
        // Two neighbours are above a peak as soon as the line is further above it at the first of them than scans lie off, and that one is the
        // last of those that stand. At a peak the line lies below it by no more than scans lie off, so the way is twice that and a scan's.
        double way = double.MaxNative((since * slope) + double.MaxNative(0, _peak - first + off + slope), (2 * off) + slope), reach = _limits.Reach;
        double moved = Math.Max(1, _peakAt - _start);
        // Which of both it is would be guessed wrong.
        return way <= LeastPatience * slope
            | (way <= reach & way * Math.Abs(courseSlope) <= reach * slope & way * (0.3 * (last + off - _startLevel)) <= reach * slope * moved);
    }

    /// <summary>Whether the history would take all scans as they are.</summary>
    private bool IsWithoutSpikes(ref ushort codes, in CourseLine line, in RampRun run, int n)
    {
        double off = run.Off, at = line.First;
        for (int i = 1; i <= 3; i++)
        {
            at -= line.Slope;
            off = double.MaxNative(off, Math.Abs(Unsafe.Subtract(ref codes, i) - at));
        }

        return IsWithoutSpikes(ref codes, n, off, Math.Abs(line.Slope));
    }

    private bool IsWithoutSpikes(ref ushort codes, int n, double off, double slope)
    {
        if (!(off < RampRun.MostOff)) return false;
        // Off one neighbour, and off the line through two: in deviations from a common line, twice and three times the most.
        return ((2 * off) + slope <= _limits.Tip && 3 * off <= _limits.Bend) || !RampRun.MayHoldSpike(ref codes, n, _limits.Tip, _limits.Bend, 4 * _limits.Noise);
    }
}
