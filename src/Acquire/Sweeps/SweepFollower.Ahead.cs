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
    /// <returns>How many lines were taken.</returns>
    private int TryAhead(ScanBlock block, int place, int room, Span<CourseLine> lines)
    {
        long first = _next;
        if (_full > RampRun.MostOff || !_course.TryLine(first, out CourseLine begun)) return 0;
        int length = (int)(begun.End - first), most = Math.Min(room, ScansUntilDue(first)) / length;
        if (most < 2) return 0;
        ref ushort codes = ref block.Ramp[place];
        most = _course.LookAhead(first, ref codes, Math.Min(most, LinesAhead.Most));
        if (most < 2) return 0;
        LinesAhead ahead = _course.Ahead;
        most = ahead.Measure(ref codes, most, Mirror);
        int taken = 0;
        while (taken < most)
        {
            CourseLine line = ahead.LineAt(taken, first, _course.MostOffAhead(taken));
            RampRun run = new() { Off = ahead.MostOffs[taken], Peak = ahead.Peaks[taken] };
            ref ushort own = ref Unsafe.Add(ref codes, taken * length);
            if (!StaysOn(ref own, line, run, length) || !IsRising(line, run) || !IsOnCourse(line, run, line.Start, length) || !IsWithoutSpikes(ref own, line, run, length)) break;
            if (run.Peak > _peak)
            {
                _peak = run.Peak;
                _peakAt = line.Start + PlaceOfPeak(ref own, line, run, length);
                _courseAtPeak = _course.OnAhead(line, _peakAt);
            }

            lines[taken++] = line;
            if (IsDueAfter(line.End)) break;
        }

        if (taken > 0) PassAhead(block, place, taken);
        return taken;
    }

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
        int offset = (int)((line.Value >> 16) - ((long)codes << 16));
        return RampRun.MostMeanOff(ref codes, scans, offset, (int)(line.Step >> 16)) <= line.MostOff;
    }

    // To the end of the first block behind which something may be due, or a little more.
    private int ScansUntilDue(long scan)
    {
        long due = _confirmed + LeastToConfirm(scan);
        if (_driftDue >= 0) due = Math.Min(due, _driftDue);
        return (int)Math.Clamp(due - scan, 0, ScanBlock.Most) + BlockScans;
    }
}
