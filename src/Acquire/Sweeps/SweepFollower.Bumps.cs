namespace Acquire.Sweeps;

// In the middle of a sweep the ramp may rise above its line and come back to it: what a response on the other channel adds to it, or a burst of noise.
// While it is above, scans lie on the line as it was before, drawn on; it ends, if it does, where it rose.
internal sealed partial class SweepFollower
{
    private enum Above
    {
        Not,

        /// <summary>It jumped: a sweep ends there, unless it comes back.</summary>
        Jumped,

        /// <summary>It rose, and falls now: a flyback, unless it comes back to its line only.</summary>
        Bent,
    }

    // Of the way: how far it may be above its line, how far a bump's highest scan may lie from where it begins, and the line by which it is told.
    private const double HighestBump = 0.3;
    private const double BumpShare = 0.04;
    private const double LineShare = 0.05;

    private Above _above;
    private long _bumpFrom;
    private long _bumpEnd;
    private double _highestAbove;
    private long _nearSince;
    private long _backAt;
    private LineFit _lineBeforeBump;

    /// <summary>Takes the ramp to be above its line from a jump on, unless it stood before or the sweep is too young for a line.</summary>
    /// <param name="from">First scan above.</param>
    /// <param name="scan">The last scan.</param>
    private bool TryJump(long from, long scan)
    {
        LineFit line = LineBefore(from);
        if (line.Scans == 0 || _halted > 0) return false;
        Rise(Above.Jumped, from, line, scan);
        return true;
    }

    /// <summary>Takes the ramp to have been above its line at its highest scan, if it has fallen towards that only.</summary>
    /// <param name="scan">The last scan.</param>
    /// <param name="level">The highest of the last scans.</param>
    private bool TryBend(long scan, double level)
    {
        if (!IsBump(scan, level, out LineFit line)) return false;
        Rise(Above.Bent, _peakAt, line, scan);
        return true;
    }

    private void Rise(Above how, long from, LineFit line, long scan)
    {
        (_above, _bumpFrom, _lineBeforeBump, _nearSince) = (how, from, line, -1);
        _highestAbove = Math.Max(_peak, Math.Min(Y(scan), Y(scan - 1)));
        // What may still be withdrawn must be in the history.
        _bumpEnd = scan + Math.Min((long)(RampCourse.LongestBump * ScansAtThisPace), _history.Capacity >> 4);
    }

    private void SweepAbove(long scan)
    {
        LineFit line = _lineBeforeBump with { End = _lineBeforeBump.After(scan - _bumpFrom) };
        _course.TakeOver(line);
        _fitted = true;
        _listener.Place(scan, line.End, line.Slope);
        double y = Y(scan), before = Y(scan - 1), higher = Math.Max(y, before), h = Hysteresis, over = higher - Level(line.End);
        _highestAbove = Math.Max(_highestAbove, Math.Min(y, before));
        if (over < -h || over > HighestBump * Span)
        {
            EndAbove(scan);
        }
        else if (over < h)
        {
            if (_nearSince < 0) _nearSince = scan;
            // Where it has not fallen it may stand, and its line comes up to it and goes on. A bump's last scans are still above the line.
            if ((higher < _highestAbove - h && over < 3 * _sigma) || (scan - _nearSince) * Math.Abs(line.Slope) > 3 * h) GoOn(scan, line, isBack: true);
        }
        else
        {
            _nearSince = -1;
            if (scan <= _bumpEnd) return;
            if (_above == Above.Jumped) EndAbove(scan);
            else GoOn(scan, new LineFit(_history[scan], line.Slope, 1), isBack: false);
        }
    }

    // The ramp is on its line again, or on another that it goes on with.
    private void GoOn(long scan, LineFit line, bool isBack)
    {
        _above = Above.Not;
        _backAt = isBack ? scan : -1;
        _halted = 0;
        _peak = Level(line.End);
        _peakAt = scan;
        _courseAtPeak = line;
        _course.Restart(scan, line.Slope, Span, _course.Sigma);
    }

    // What a bump raised is no measure of where the ramp stands or falls: it goes on from its line.
    private void NoteBack(long scan)
    {
        if (!_course.TryTakeBack(out LineFit last)) return;
        _halted = 0;
        _peak = Level(last.End);
        _peakAt = scan - 1;
        _courseAtPeak = last;
    }

    // It never came back.
    private void EndAbove(long scan)
    {
        bool jumped = _above == Above.Jumped;
        _above = Above.Not;
        if (!jumped) EndByDrop(scan);
        else if (!TryLeaveDrift(scan, isNoBump: true)) EndAt(_bumpFrom);
    }

    // What comes back to its line and falls on from there was no bump but a flyback's beginning.
    private bool IsBehindBump(long scan) => _backAt >= 0 && scan - _backAt <= _backAt - _bumpFrom;

    /// <summary>Whether the ramp has only come back towards the line on which it was before it rose to its highest.</summary>
    /// <param name="scan">The last scan.</param>
    /// <param name="level">The highest of the last scans.</param>
    /// <param name="line">That line, drawn on up to the highest scan.</param>
    private bool IsBump(long scan, double level, out LineFit line)
    {
        line = LineBefore(_peakAt);
        return line.Scans > 0 && level > Level(line.After(scan - _peakAt)) - Hysteresis;
    }

    // Drawn on up to a bump's scan; none where the sweep is too young for it.
    private LineFit LineBefore(long bump)
    {
        double scans = ScansAtThisPace;
        long to = bump - (long)(BumpShare * scans), from = to - (long)(LineShare * scans);
        if (to - from < LeastOnLine || from < Math.Max(_start, _history.Oldest)) return default;
        LineFit line = _history.Fit(from, to);
        return line with { End = line.After(bump - to + 1) };
    }

    // Of a whole sweep that goes as this one has: on a bump's flank the course is no measure.
    private double ScansAtThisPace => Span * Math.Max(1, _peakAt - _start) / Math.Max(1, _peak - _startLevel);
}
