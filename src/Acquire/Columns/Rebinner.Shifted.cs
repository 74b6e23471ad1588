using System.Runtime.InteropServices;
using Acquire.Capture;
using Acquire.Sweeps;

namespace Acquire.Columns;

// Readings that belong to the ramp as it was some time before they were taken, or as it is a part of a scan later.
internal sealed partial class Rebinner
{
    // A next code that lies further from where the ramp was going, as a share of all codes, is a flyback or lies behind a gap.
    private const double JumpShare = 0.02;

    // What readings belong to: the ramp so many whole scans on, none or fewer, and this part of the way to the scan after.
    private readonly int _whole;
    private readonly double _part;

    // Where the ramp was at scans that were placed singly; of the others their lines say it.
    private readonly RampPlace[] _ramps;

    // Lines along which the scans of one run are filed.
    private readonly CourseLine[] _shifted;

    // Scans before this one left the history before they were placed: they lie on a line.
    private long _placedFrom;
    private LineFit _pastCourse;
    private long _pastEnd;

    /// <summary>Where the ramp is at a scan.</summary>
    /// <param name="Fine">In 2^-16 codes.</param>
    /// <param name="Step">To the next scan by its course, in 2^-32 codes; or <see cref="Own"/>: it is the scan's own code, and the way goes to the next one's.</param>
    [StructLayout(LayoutKind.Auto)]
    private readonly record struct RampPlace(long Fine, long Step)
    {
        public const long Own = long.MinValue;

        public bool IsOwn => Step == Own;

        public static RampPlace OfCode(int code) => new((long)code * ColumnGrid.FinePerCode, Own);

        public static RampPlace On(double course, double slope) =>
            new((long)Math.Round(course * ColumnGrid.FinePerCode), (long)Math.Round(slope * ((long)ColumnGrid.FinePerCode << FineShift)));
    }

    private void KeepRamp(long scan, RampPlace place)
    {
        _ramps[scan & _mask] = place;
        RememberSingle(scan);
    }

    /// <summary>A scan's own ramp code; one beyond the bits is no position, the ramp is taken to stand.</summary>
    private RampPlace OwnPlace(long scan)
    {
        ushort code = _scans[scan, _rampChannel];
        if (code > _full && scan > _start) return new RampPlace(RampAt(scan - 1).Fine, RampPlace.Own);
        return RampPlace.OfCode(Math.Min((int)code, _full));
    }

    /// <summary>Where the ramp was at a scan placed before.</summary>
    private RampPlace RampAt(long scan)
    {
        if (scan < _placedFrom) return RampPlace.On(_pastCourse.After(scan - _pastEnd), _pastCourse.Slope);
        PlacedRuns runs = RunsOf(scan);
        PlacedBy kind = runs.KindOf(scan);
        if (kind == PlacedBy.Single) return _ramps[scan & _mask];
        if (kind == PlacedBy.Code) return RampPlace.OfCode(_scans[scan, _rampChannel]);
        CourseLine line = runs.LineFrom(scan, 1);
        return new RampPlace(line.Value >> FineShift, line.Step);
    }

    /// <summary>Where the ramp is that a scan's readings belong to, in 2^-16 codes.</summary>
    private long ShiftedFine(long scan) => _whole == 0 ? FineAhead(scan) : FineFrom(scan + _whole);

    /// <summary>Where the ramp is a part of the way after a scan: on its course, or on the way to the next scan's place.</summary>
    private long FineFrom(long scan)
    {
        RampPlace place = RampAt(scan);
        if (!place.IsOwn) return place.Fine + Along(place.Step);
        return _part == 0 ? place.Fine : Between(place.Fine, RampAt(scan + 1).Fine);
    }

    private long Between(long fine, long next) => fine + (long)Math.Round(_part * (next - fine));

    /// <summary>As <see cref="FineFrom"/> where the next scan is not placed yet: its code says where the ramp goes, unless to the flyback or across a gap.</summary>
    private long FineAhead(long scan)
    {
        RampPlace place = RampAt(scan);
        if (!place.IsOwn) return place.Fine + Along(place.Step);
        long before = scan > _start ? RampAt(scan - 1).Fine : place.Fine;
        // Where scans are gone through again, what came behind a loss is there already.
        bool isKnown = scan + 1 < _scans.End && !_flags.FollowsLoss(scan + 1);
        return isKnown ? Ahead(before, place.Fine, (long)_scans[scan + 1, _rampChannel] * ColumnGrid.FinePerCode) : Between(place.Fine, (2 * place.Fine) - before);
    }

    private long Ahead(long before, long fine, long next)
    {
        double step = fine - before, way = next - fine;
        bool goesOn = Math.Abs(way - step) <= (JumpShare * _full * ColumnGrid.FinePerCode) + (2 * Math.Abs(step));
        return fine + (long)Math.Round(_part * (goesOn ? way : step));
    }

    // In whole 2^-16 codes, so that it does not matter whether it is added before a course is rounded down to them.
    private long Along(long step) => (long)Math.Round(_part * step / (1 << FineShift));

    /// <summary>Files scans, all of them on lines, where the ramp is that their readings belong to.</summary>
    private void FileShifted(ScanBlock block, int place, long scan, int scans)
    {
        int lines = 0;
        for (long at = scan + _whole, end = at + scans; at < end;)
        {
            CourseLine line = ShiftedLine(at, end);
            at = line.End + _whole;
            // What was remembered by blocks may have been one line.
            if (lines > 0 && _shifted[lines - 1] is var last && last.Step == line.Step && last.From(line.Start).Value == line.Value) _shifted[lines - 1] = last.UpTo(line.End);
            else _shifted[lines++] = line;
        }

        FileOnLines(block, place, _shifted.AsSpan(0, lines));
    }

    /// <summary>The line along which readings are filed that belong to the ramp at a scan, and as many of those after it as lie on it.</summary>
    private CourseLine ShiftedLine(long at, long end)
    {
        PlacedRuns runs = RunsOf(at);
        if (runs.KindOf(at) != PlacedBy.Line) return new CourseLine(at - _whole, at - _whole + 1, FineFrom(at) << FineShift, 0, 0, 0);
        CourseLine line = runs.LineFrom(at, (int)Math.Min(runs.ScansFrom(at), end - at));
        return line with { Start = line.Start - _whole, End = line.End - _whole, Value = line.Value + (Along(line.Step) << FineShift) };
    }
}
