namespace Acquire.Sweeps;

// Where exactly a sweep has ended, and what it was worth.
internal sealed partial class SweepFollower
{
    private void EndByDrop(long scan)
    {
        if (_halted > 0)
        {
            EndAt(_halted);
            return;
        }

        // Back to the last scan on the course.
        double off = Math.Max(4 * _sigma, 0.3 * Hysteresis);
        long last = scan - 1;
        while (last > _start && Y(last) < Level(_courseAtPeak.After(last - _peakAt)) - off) last--;
        long end = last + 1;
        if (scan - end >= 12)
        {
            long from = Math.Max(Math.Max(_start, _history.Oldest), end - (2 * (scan - end)));
            long corner = _corner.Find(_history, from, scan + 1, _sigma);
            if (corner > from) end = Sharpen(corner, from, scan + 1);
        }

        else if (scan > end)
        {
            // The first scans of the flyback may still be near the course: back to where its line meets the course.
            double fall = (Y(scan) - Y(end)) / (scan - end), rise = Math.Abs(_courseAtPeak.Slope);
            double under = Level(_courseAtPeak.After(end - _peakAt)) - Y(end);
            bool steady = fall < -rise && under > 0 && under < off + (1.5 * -fall);
            double back = under / Math.Max(rise - fall, 1e-9);
            if (steady && back is > 1.3 and < 8) end = Math.Max(_start + 1, (long)Math.Ceiling(end - back));
        }

        EndAt(end);
    }

    private void EndAt(long end)
    {
        end = Math.Max(end, Math.Max(_start + 1, _confirmed));
        double level = EndLevel(end);
        bool reached = _scout || level >= _high - EndTolerance();
        // Two sweeps that end at the same place, or one that ends beyond: that is where the ramp ends now.
        double half = Math.Abs(_courseAtPeak.Slope) / 2;
        bool again = !reached && Math.Abs(level - _lastEnd) < 0.005 * Span && level > _low + (0.5 * Span);
        if (!_scout && (again || level > _high + EndTolerance()))
        {
            _high = level + half;
            reached = true;
        }
        else if (reached && !_scout)
        {
            _high += 0.5 * (level + half - _high);
        }

        _lastEnd = level;
        Finish(end, reached ? SweepEnd.Retrace : SweepEnd.Abort);
        _state = State.Waiting;
        if (_both) Flip();
        // A rest longer than the history: what has left it was rest.
        long next = Math.Max(end, _history.Oldest + 1);
        if (!_goingBack.TryTake(_next - next)) next = end = _next;
        StartWaiting(end);
        _next = next;
    }

    private double EndLevel(long end)
    {
        bool halted = _halted > 0 && end == _halted;
        // The last scan may already be on its way back.
        if (_courseAtPeak.Scans < 8) return halted ? _haltMean : Math.Max(Y(end - 1), Y(Math.Max(_start, end - 2)));
        // A ramp that was clipped or stopped did not get where its course was heading.
        double level = Math.Min(Level(_courseAtPeak.After(end - 1 - _peakAt)), _peak + Math.Max(4 * _sigma, 1.5 * Math.Abs(_onset.Slope)));
        // Standing at the end, its level is known better than by the course; turning there, it is the course that says how far it went.
        return halted ? Math.Max(level, _haltMean) : level;
    }

    private void Finish(long end, SweepEnd reason)
    {
        double endLevel = EndLevel(end);
        bool whole = reason is SweepEnd.Retrace or SweepEnd.Abort;
        // Too short to have moved: nothing says that it was a sweep.
        bool still = whole && end - _start < 3 && endLevel - _startLevel < Math.Max(2, 3 * _sigma);
        // Nor does a swing of a rest at the beginning of a recording, which flies back from nowhere near the end.
        still |= _startReason == SweepStart.Begin && reason == SweepEnd.Abort && endLevel - _startLevel < Math.Max(2 * Hysteresis, 0.05 * Span);
        bool valid = (_startReason != SweepStart.Ramp && !still) ||
                     (endLevel - _startLevel >= (whole ? Math.Max(2 * Hysteresis, 0.05 * Span) : 0) && (!whole || end - _start >= 4));
        if (!valid)
        {
            _listener.SweepCancelled();
            Rejected++;
            return;
        }

        _sigma = _course.Sigma;
        double slope = end - _start > 1 ? Math.Max(0, endLevel - _startLevel) / (end - 1 - _start) : 0;
        if (whole && _startReason == SweepStart.Ramp)
        {
            _usualSlope = slope;
            if (!_scout && Math.Abs(_startLevel - _low) < 0.1 * Span) _low += 0.5 * (_startLevel - _low);
            Rejected = 0;
        }

        double startCode = Level(_startLevel), endCode = Level(endLevel);
        TrackedSweep ended = new(_start, end, _startReason, reason, _rising, startCode, endCode, slope);
        LastEnded = ended;
        _listener.SweepEnded(ended);
    }
}
