using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Acquire.Capture;

namespace Acquire.Sweeps;

// In the middle of a sweep, where lines are short: several of them at once.
internal sealed partial class SweepFollower
{
    /// <summary>Takes scans that lie on lines ahead and decide nothing; as <see cref="TryRuns"/>.</summary>
    /// <param name="block">Scans that have not entered yet.</param>
    /// <param name="place">Place of the first.</param>
    /// <param name="room">How many are loaded from there on.</param>
    /// <param name="lines">Gets the lines.</param>
    /// <param name="confirmed">Gets what is confirmed after each.</param>
    /// <returns>How many lines were taken.</returns>
    private int TryAhead(ScanBlock block, int place, int room, Span<CourseLine> lines, Span<long> confirmed)
    {
        long first = _next;
        if (_course.HasLongLines || !TryLine(first, out CourseLine begun)) return 0;
        int length = (int)(begun.End - first), most = Math.Min(Math.Min(room, ScansUntilDrift(first)), ScansNear(begun.Slope)) / length;
        if (most < 2 || !AreNear(block, place, most * length)) return 0;
        ref ushort codes = ref block.Ramp[place];
        most = _course.LookAhead(first, ref codes, Math.Min(most, LinesAhead.Most));
        if (most < 2) return 0;
        LinesAhead ahead = _course.Ahead;
        most = ahead.Measure(ref codes, most, Mirror) & -ahead.AtLeast;
        bool together = DecideNothingTogether(ref codes, ref most);
        int taken = 0;
        for (long end = first + length; taken < most; end += length)
        {
            confirmed[taken] = -1;
            // All peaks climb: which was the last is asked for where that decides something.
            if (together && taken + 1 < most && !MayConfirmAfter(end))
            {
                taken++;
                continue;
            }

            CourseLine line = _course.LineAhead(taken);
            ref ushort own = ref Unsafe.Add(ref codes, taken * length);
            if (!together && !DecidesNothing(ref own, line, RunAhead(taken), length)) break;
            NotePeak(ref own, line, RunAhead(taken), length);
            if (MayConfirmAfter(end) && TryConfirm(_peakAt)) confirmed[taken] = _confirmed;
            taken++;
        }

        ahead.CopyTo(lines[..taken], first);
        if (taken > 0) PassAhead(block, place, taken);
        return taken;
    }

    /// <summary>Whether bounds show of lines together that none of their scans decides anything.</summary>
    /// <param name="codes">Place of the first scan.</param>
    /// <param name="lines">How many; fewer where it can be shown of fewer only, and each of them cannot be looked at alone.</param>
    private bool DecideNothingTogether(ref ushort codes, ref int lines)
    {
        LinesAhead ahead = _course.Ahead;
        for (; lines > LinesAhead.FewLines; lines = (lines / 2) & -ahead.AtLeast)
        {
            if (DecideNothing(ahead.Look(lines, Mirror), ref codes, lines)) return true;
            if (ahead.AtLeast == 1) return false;
        }

        if (ahead.AtLeast > 1) lines = 0;
        return false;
    }

    // Over so many scans the ramp moves by no more than codes can be measured from the first, with what noise and a bend need.
    private int ScansNear(double slope) => _full <= RampRun.MostOff ? int.MaxValue : (int)Math.Min(ScanBlock.Most, 0.9 * RampRun.MostOff / Math.Max(Math.Abs(slope), 1e-3));

    private RampRun RunAhead(int line) => new() { Off = _course.Ahead.MostOffs[line], Peak = (int)_course.Ahead.Peaks[line] };

    private bool DecidesNothing(ref ushort codes, in CourseLine line, in RampRun run, int scans) =>
        StaysOn(ref codes, line, run, scans) && IsRising(ref codes, line, run, scans) && IsOnCourse(line, run, line.Start, scans) && IsWithoutSpikes(ref codes, line, run, scans);

    private void NotePeak(ref ushort codes, in CourseLine line, in RampRun run, int scans)
    {
        if (run.Peak <= _peak) return;
        _peak = run.Peak;
        _peakAt = line.Start + PlaceOfPeak(ref codes, line, run, scans);
        _courseAtPeak = _course.OnAhead(line, _peakAt);
    }

    /// <summary>Whether bounds of all lines together show what <see cref="DecidesNothing(ref ushort, in CourseLine, in RampRun, int)"/> would show of each.</summary>
    private bool DecideNothing(in LinesAhead.Together all, ref ushort codes, int lines)
    {
        LinesAhead ahead = _course.Ahead;
        CourseLine begun = _course.LineAhead(0);
        int length = ahead.Length;
        if (!(ahead.Peaks[0] > _peak) || !DecidesNothing(ref codes, begun, RunAhead(0), length)) return false;
        double off = all.MostOff, join = all.MostJoin, slope = all.LeastSlope, turn = all.MostSlope - slope;
        // Each begins above the one before it, and the peak is in the one before it, above no more scans than it lies below where that leads to.
        if (!all.Climb || !(slope > 0) || off > _course.LeastMostOffAhead || slope * length < join || (2 * off) + join > _limits.Drop) return false;
        if (off + join + (turn * length) + Rounding > _limits.Jump) return false;
        // As IsOnCourse has it, at the least slope.
        double ratio = all.MostSlope / slope, way = double.MaxNative(all.MostAbove + join + off + double.MaxNative(0, off - all.MostAbove + slope), (2 * off) + slope) + Rounding;
        double last = ahead.Values[lines - 1] * (1.0 / (1L << 32)), end = Level(last) + (all.MostSlope * length) + off - _startLevel, reach = _limits.Reach;
        if (way > LeastPatience * slope && (way * ratio > reach || way * 0.3 * end > reach * slope * Math.Max(1, _peakAt - _start))) return false;
        // Off a line as it would have gone on before its first scan.
        return IsWithoutSpikes(ref codes, lines * length, off + join + (3 * turn) + Rounding, all.MostSlope);
    }

    // What is placed lies so much lower at most than what was worked out, in codes, and more.
    private const double Rounding = 1.0 / (1 << 12);

    private void PassAhead(ScanBlock block, int place, int lines)
    {
        int n = lines * _course.Ahead.Length;
        long first = _next;
        _history.EnterLines(block.Ramp.AsSpan(place, n), _course.Ahead, block.Ramp[place + n]);
        _history.Noise.AddSpaced(ref block.Ramp[place], first, n);
        _course.TakeAhead(lines);
        _fitted = true;
        _end = first + n;
        Step(n);
    }

    /// <summary>Whether the ramp has not left a line; as <see cref="TryMeasure"/> has it.</summary>
    private static bool StaysOn(ref ushort codes, in CourseLine line, in RampRun run, int scans)
    {
        if (run.Off <= line.MostOff) return true;
        return RampRun.MostMeanOff(ref codes, scans, OffsetOf(line, codes), (int)(line.Step >> 16)) <= line.MostOff;
    }

    // The peak lies before the end.
    private bool MayConfirmAfter(long end) => ((end + 1) & (BlockScans - 1)) == 0 && end > _confirmDue && !IsDriftDue(end - 1);

    // To the end of the first block behind which it may be looked for a drift.
    private int ScansUntilDrift(long scan) =>
        _driftDue < 0 ? int.MaxValue : (int)Math.Clamp(((_driftDue + BlockScans + 1) & -BlockScans) - 1 - scan, 0, ScanBlock.Most);
}
