namespace Acquire.Sweeps;

// In the middle of a sweep the ramp may leave its line, up or down, and come back to it: what a response on the other channel adds to it or takes from it, or a burst of noise.
// While it is away, scans lie on the line as it was before, drawn on; it ends, if it does, where it left.
internal sealed partial class SweepFollower
{
    private enum Away
    {
        Not,

        /// <summary>It jumped: a sweep ends there, unless it comes back.</summary>
        Jumped,

        /// <summary>It rose, and falls now: a flyback, unless it comes back to its line only.</summary>
        Bent,

        /// <summary>It fell: a flyback, unless it comes back.</summary>
        Dropped,
    }

    // Of the way: how far it may be off its line.
    private const double FurthestAway = 0.3;

    // What has come back from below must go along its line for so many scans, and for a part of the time that it was away.
    private const long LeastAlong = 3, AlongShare = 4;

    private Away _away;
    private long _bumpFrom;
    private long _bumpEnd;
    private double _highestAbove;
    private long _droppedAt;
    private long _nearSince;
    private LineFit _lineBeforeBump;

    // What it was last, where it went on, or -1, and whether on its line.
    private Away _was;
    private long _goneOnAt;
    private bool _cameBack;

    /// <summary>Takes the ramp to be above its line from a jump on, unless it stood before or the sweep is too young for a line.</summary>
    /// <param name="from">First scan above.</param>
    /// <param name="scan">The last scan.</param>
    private bool TryJump(long from, long scan)
    {
        LineFit line = LineBefore(from);
        if (line.Scans == 0 || _halted > 0) return false;
        Leave(Away.Jumped, from, line, scan);
        return true;
    }

    /// <summary>Takes the ramp to have been above its line at its highest scan, if it has fallen towards that only.</summary>
    /// <param name="scan">The last scan.</param>
    /// <param name="level">The highest of the last scans.</param>
    private bool TryBend(long scan, double level)
    {
        if (!IsBump(scan, level, out LineFit line)) return false;
        Leave(Away.Bent, _peakAt, line, scan);
        return true;
    }

    /// <summary>Takes the ramp to be below its line since its highest scan, unless it is where sweeps end or too young for a line.</summary>
    /// <param name="scan">The last scan.</param>
    private bool TryDip(long scan)
    {
        LineFit line = !_scout && _peak >= _high - EndTolerance() ? default : LineBefore(_peakAt);
        if (line.Scans == 0) return false;
        Leave(Away.Dropped, _peakAt, line, scan);
        _droppedAt = scan;
        return true;
    }

    private void Leave(Away how, long from, LineFit line, long scan)
    {
        (_away, _bumpFrom, _lineBeforeBump, _nearSince) = (how, from, line, -1);
        _highestAbove = Math.Max(_peak, Math.Min(Y(scan), Y(scan - 1)));
        // What may still be withdrawn must be in the history.
        _bumpEnd = scan + Math.Min((long)(RampCourse.LongestBump * ScansAtThisPace), _history.Capacity >> 4);
    }

    private void SweepAway(long scan)
    {
        LineFit line = _lineBeforeBump with { End = _lineBeforeBump.After(scan - _bumpFrom) };
        _course.TakeOver(line);
        _fitted = true;
        _listener.Place(scan, line.End, line.Slope);
        double y = Y(scan), before = Y(scan - 1), higher = Math.Max(y, before), h = Hysteresis, over = higher - Level(line.End);
        if (_away == Away.Dropped)
        {
            SweepBelow(scan, line, higher, over);
            return;
        }

        _highestAbove = Math.Max(_highestAbove, Math.Min(y, before));
        if (over < -h || over > FurthestAway * Span)
        {
            EndAway(scan);
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
            if (_away == Away.Jumped) EndAway(scan);
            else GoOn(scan, new LineFit(_history[scan], line.Slope, 1), isBack: false);
        }
    }

    private void SweepBelow(long scan, LineFit line, double higher, double over)
    {
        double h = Hysteresis;
        bool near = Math.Abs(over) <= h;
        if (over < -FurthestAway * Span || over > h || higher < _startLevel + h || (!near && scan > _bumpEnd))
        {
            EndAway(scan);
            return;
        }

        if (!near) _nearSince = -1;
        else if (_nearSince < 0) _nearSince = scan;
        // It goes along its line: what a flyback draws crosses it, and so does a next sweep that is faster. A dip's last scans are still below the line.
        if (near && scan - _nearSince >= Math.Max(LeastAlong, (_nearSince - _bumpFrom) / AlongShare) && (over > -3 * _sigma || scan > _bumpEnd)) GoOn(scan, line, isBack: true);
    }

    // The ramp is on its line again, or on another that it goes on with.
    private void GoOn(long scan, LineFit line, bool isBack)
    {
        (_was, _away) = (_away, Away.Not);
        _goneOnAt = scan;
        _cameBack = isBack;
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
    private void EndAway(long scan)
    {
        Away how = _away;
        _away = Away.Not;
        if (how == Away.Dropped) EndByDrop(_droppedAt);
        else if (how != Away.Jumped) EndByDrop(scan);
        else if (!TryLeaveDrift(scan, isNoBump: true)) EndAt(_bumpFrom);
    }

    // What came back to its line, or went on beside it, was no rest that turned into a ramp.
    private bool WasAway(long scan) => scan >= _bumpFrom && scan <= _goneOnAt;

    // What comes back to its line and falls on from there was no bump but a flyback's beginning.
    private bool IsBehindBump(long scan) => _cameBack && _was != Away.Dropped && scan - _goneOnAt <= _goneOnAt - _bumpFrom;

    /// <summary>Whether the ramp has only come back towards the line on which it was before it rose to its highest.</summary>
    /// <param name="scan">The last scan.</param>
    /// <param name="level">The highest of the last scans.</param>
    /// <param name="line">That line, drawn on up to the highest scan.</param>
    private bool IsBump(long scan, double level, out LineFit line)
    {
        line = LineBefore(_peakAt);
        return line.Scans > 0 && level > Level(line.After(scan - _peakAt)) - Hysteresis;
    }
}
