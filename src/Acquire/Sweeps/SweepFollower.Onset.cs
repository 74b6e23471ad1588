namespace Acquire.Sweeps;

// Where exactly a sweep has started, looked for when it has moved by the hysteresis.
internal sealed partial class SweepFollower
{
    // Twice what two more parameters, the best place for a corner being one, gain by chance.
    private const double TurnVariances = 12;

    // Scans in which a curve is looked for.
    private const long LeastCurve = 12;

    // With less noise, in codes, a converter's steps are no normal noise (common practice: dither is half a step rms or more).
    private const double LeastDither = 0.5;

    // A rest is brief up to so many times the scans in which a corner shows.
    private const double BriefRest = 8;

    // Of e scans between lines that meet and a jump, s * s * e^3 / 3 is what the jump explains: 20 variances at so many corners.
    private const double LongestJump = 4;

    // Of a rest before a ramp under hum so many times the ramp's scans are looked at.
    private const long RestUnderHum = 4;

    private bool TryOnset(long scan, bool late)
    {
        long first = Math.Max(_from, _history.Oldest);
        if (first > _from && TryPastOnset(scan, first)) return true;
        double threshold = _base + (late ? LateHysteresis : OnsetHysteresis);
        double half = (_base + threshold) / 2;
        long below = scan;
        while (below > first && Y(below) > half) below--;
        // Of many scans a few lie far off: what counts is where their mean is below.
        long step = (scan - below) / 16;
        while (step >= 16 && below - step > first && _history.Mean(below - step, below) > half) below -= step;
        _metUnderHum = -1;
        long reach = 2 * Math.Max(1, scan - below);
        long start = reach < 8 ? SteepOnset(scan, below, first) : FlatOnset(scan, below, reach, first);
        LineFit fit = start == _metUnderHum ? _rampUnderHum : _history.Fit(start, scan + 1);
        double slope = _rising ? fit.Slope : -fit.Slope;
        double level = scan - start >= 8 ? Level(fit.After(start - scan)) : Y(start);

        bool hides = !late && MayHide(slope);
        long slack = Math.Max(Math.Max(2, (scan - first) / 20), hides ? StartOdds.MostRest * StepOf(slope) : 0);
        bool inside = _state == State.Entering && start <= first + slack && start - _segmentStart <= slack;
        if (inside)
        {
            // The scans before a jump are the end of a flyback.
            double jump = Math.Max(Math.Max(8 * _sigma, 0.02 * Span), 6 * Math.Abs(slope));
            long whole = start, oldest = Math.Max(_segmentStart, _history.Oldest);
            while (whole > oldest && Math.Abs(Y(whole) - Y(whole - 1)) <= jump) whole--;
            if (whole == oldest && hides && TryEntered(whole, start, scan + 1, out long entered))
            {
                inside = entered == whole;
                start = entered;
            }
            else
            {
                bool turns = Turns(whole, start, scan + 1);
                inside = whole == oldest && !turns;
                if (!turns) start = whole;
            }
        }

        SweepStart reason = inside ? _enteredBy : SweepStart.Ramp;
        if (slope <= 0) return false;
        if (!_scout && reason == SweepStart.Ramp && Math.Abs(level - _low) > (0.1 * Span) + (1.5 * slope)) return false;
        if (late && _usualSlope > 0 && (slope < MostDrift * _usualSlope || slope > 3 * _usualSlope)) return false;
        // Three deviations of the slope of a line through so many scans.
        if (late && slope * (scan - start) < Math.Max(2, 3 * _sigma * Math.Sqrt(12.0 / (scan - start + 1)))) return false;
        if (!_goingBack.TryTake(_next - start)) return false;
        Begin(start, scan, reason, fit);
        return true;
    }

    /// <summary>Whether the ramp clearly changes its slope at a scan: one line explains less than two that meet there.</summary>
    private bool Turns(long from, long at, long to)
    {
        if (Wavers || at <= from || to - at < 3) return false;
        LineSums sums = new(_history, _history.Mean(from, to));
        double two = sums.Meeting(from, at, to, level: at - from < 3).Explained;
        return two - sums.Line(from, to, out _) > TurnVariances * _sigma * _sigma;
    }

    /// <summary>The ramp fills the history: it has started before it, where its line meets the rest.</summary>
    private bool TryPastOnset(long scan, long first)
    {
        long n = scan + 1 - first;
        if (n < 64 || _past.End < first) return false;
        LineFit line = _history.Fit(first, scan + 1), early = _history.Fit(first, first + (n / 4));
        double slope = _rising ? line.Slope : -line.Slope, earlySlope = _rising ? early.Slope : -early.Slope;
        // A rest at its beginning, and the start lies in the history.
        if (slope <= 0 || earlySlope < 0.7 * slope || !_past.TryGetRest(_from, _rising, out double rest)) return false;
        double above = Level(early.After(1 - (n / 4))) - Level(rest);
        long oldest = _past.AtOrAfter(Math.Max(_from, _past.First));
        long start = Math.Max(oldest, _past.AtOrAfter(first - (long)(above / slope)));
        if (start >= _past.End) return false;
        bool inside = _state == State.Entering && start <= oldest + (2 * _past.BlockScans) && oldest - _segmentStart < _past.BlockScans;
        if (!inside && !_scout && Math.Abs(Level(rest) - _low) > (0.1 * Span)) return false;
        if (!_goingBack.TryTake(_next - _past.End)) return false;
        Begin(inside ? oldest : start, _past.End, scan, inside ? _enteredBy : SweepStart.Ramp, line);
        _startLevel = Level(rest);
        return true;
    }

    private long SteepOnset(long scan, long below, long first)
    {
        double step = (Y(scan) - Y(below)) / Math.Max(1, scan - below);
        long start = scan;
        while (start > first && Y(start) - Y(start - 1) > 0.3 * step) start--;
        // Where the last step backwards was a part of one, the scan before it was still at rest.
        return start > first && start < scan && Y(start + 1) - Y(start) < 0.85 * step ? start + 1 : start;
    }

    private long FlatOnset(long scan, long below, long reach, long first)
    {
        // A flyback may end in a curve: the shorter the stretch before the start, the straighter it is.
        long oldest = Math.Max(first, scan - (8 * reach));
        for (long back = 8 * reach / 5; ; back *= 2)
        {
            long furthest = Math.Max(oldest, scan - back), from = AfterFlyback(scan, below, reach, furthest, first);
            bool cut = from != furthest;
            StartPlace place = Straighten(ref from, scan + 1);
            // Too little is seen of what lies before.
            if (!cut && furthest > oldest && 4 * (place.Start - from) < scan - place.Start) continue;
            bool turns = place.Start > from;
            if (!turns && _state == State.Entering && from == first) return from;
            return Weigh(place, turns ? MeetRest(place, from, oldest, scan + 1) : from, from, scan + 1);
        }
    }

    /// <summary>Looks for the start in ever shorter stretches, until what lies before it is straight.</summary>
    private StartPlace Straighten(ref long from, long to)
    {
        StartPlace place = FindFrom(from, to);
        for (int round = 0; round < 8; round++)
        {
            // A curved flyback is two lines: what seemed to be a rest is its last part, and a rest may come behind it.
            if (place.Foot > from && Falls(place.Foot, place.Start) && FindFrom(place.Foot, to) is var behind && behind.Start >= place.Start)
            {
                (from, place) = (place.Foot, behind);
                continue;
            }

            long since = place.Foot < place.Start ? place.Foot : from, scans = place.Start - since, middle = since + (scans / 2);
            if (scans < LeastCurve || !Turns(since, middle, place.Start) || Rises(middle, place.Start)) break;
            StartPlace nearer = FindFrom(middle, to);
            if (nearer.Start <= middle) break;
            (from, place) = (middle, nearer);
        }

        return IsAboveFlyback(place, from) ? place with { Foot = IsLevel(from, place.Foot) ? from : place.Foot, Start = place.Foot } : place;
    }

    /// <summary>Whether what seemed a brief rest are the ramp's first scans: a flyback comes down to the rest, and they lie clearly higher.</summary>
    private bool IsAboveFlyback(in StartPlace place, long from)
    {
        long few = place.Start - place.Foot, before = place.Foot - from;
        if (few <= 0 || few > 2 * place.Block || before < 4) return false;
        double end = Math.Max(Level(_history.Fit(from, place.Foot).End), MeanLevel(place.Foot - 2, 2));
        return MeanLevel(place.Foot, few) > end + (3 * _sigma * Math.Sqrt((1.0 / few) + 0.5));
    }

    private StartPlace FindFrom(long from, long to) => _starts.Find(_history, from, to, _sigma, Wavers, _rising, Expected);

    private bool Rises(long from, long to) => RiseOf(from, to) > 3;

    private bool Falls(long from, long to) => to - from >= 2 && RiseOf(from, to) < -3;

    // A slope in its deviations, sigma * sqrt(12 / n^3).
    private double RiseOf(long from, long to)
    {
        double n = to - from, slope = _history.Fit(from, to).Slope;
        return (_rising ? slope : -slope) * n / (_sigma * Math.Sqrt(12.0 / n));
    }

    /// <summary>First scan of the ramp: where it leaves the level, or the line, before it.</summary>
    private long MeetRest(in StartPlace place, long from, long oldest, long to)
    {
        if (Wavers && TryMeetUnderHum(place, oldest, to, out long met)) return Math.Clamp(met, from, to - 1);
        long split = place.Start, rest = split - place.Foot, guard = place.Foot == from ? 0 : Math.Min(place.Block, rest / 4);
        bool stands = rest - guard >= 2;
        long since = stands ? place.Foot + guard : from;
        bool level = stands && IsLevel(since, split);
        // Hum and noise tilt a short stretch of a rest, not a longer one.
        for (int times = 2; !level && stands && place.Foot == from && times <= 4; times *= 2)
            if (Math.Max(oldest, split - (times * rest)) is var longer && IsLevel(longer, split) && !Turns(longer, place.Foot, split)) (level, since) = (true, longer);
        if (level && place.Foot == from) since = Math.Min(since, StraightBack(split, from, oldest));
        // A flyback may be curved: what counts is its last part.
        else if (!level && Wavers && split - since >= LeastCurve) since = split - ((split - since) / 3);
        if (split - since < 2 || to - split < 2) return split;
        // Where the rest shows it says at which code the ramp starts; ramps drift.
        LineFit line = _history.Fit(split, to);
        Hinge hinge = new(_history, since, to, level, Starts.Of(line, _sigma) with { LevelWeight = 0 }, Expected, _sigma);
        return Math.Clamp(FirstOf(hinge, split, place.Block, ReachOfJump(place.Block, line.Slope), Wavers), from, to - 1);
    }

    /// <summary>Where the ramp leaves a rest with hum upon both, if the hum shows.</summary>
    private bool TryMeetUnderHum(in StartPlace place, long oldest, long to, out long met)
    {
        long split = met = place.Start, near = Math.Max(oldest, split - Math.Max(4, (to - split) / 4));
        if (place.Foot < split - 2) near = Math.Max(near, place.Foot);
        if (to - split < 4 || split - near < 2) return false;
        LineFit line = _history.Fit(split, to);
        double noise = _history.Noise.Sigma, less = noise / _sigma, reach = (6 * _sigma / Math.Max(1e-9, Math.Abs(line.Slope))) + 4;
        LinePrior prior = Starts.Of(line, _sigma);
        prior = new LinePrior(prior.Slope, prior.SlopeWeight * less * less);
        // What lies as far above the rest as hum does not reach is the flyback.
        double highest = MeanLevel(near, split - near) + (6 * _sigma);
        long furthest = Math.Max(oldest, split - (RestUnderHum * (to - split))), from = split;
        while (from > furthest && Y(from - 1) < highest) from--;
        if (from > furthest) from += (split - from) / 4;
        if (split - from < 4) return false;
        if (!_hummed.TryMeet(_history, from, split, to, reach, prior, noise, out double at, out _rampUnderHum)) return false;
        met = _metUnderHum = Hinge.ScanAt(at);
        return true;
    }

    // Lines meet as far from a jump as the ramp takes for its height; where that explains as much as chance does, no jump can be told.
    private long ReachOfJump(long block, double slope) => Math.Max(block, (long)Math.Ceiling(LongestJump * CornerScans(slope)));

    private long FirstOf(in Hinge hinge, long near, long block, long reach, bool hums) =>
        hums ? Hinge.ScanAt(hinge.Meet(near, Math.Max(2, 2 * block))) : hinge.First(near, block, reach, _sigma);

    /// <summary>A start with a brief rest before it, or none that shows.</summary>
    private long Weigh(in StartPlace place, long start, long from, long to)
    {
        if (to - start < 3) return start;
        LineFit line = _history.Fit(start, to);
        if (!MayHide(line.Slope) || start - place.Foot > BriefRest * CornerScans(line.Slope)) return start;
        return new StartOdds(_history, from, to, _sigma, _rising, Starts.Of(line, _sigma)).Median(start, StepOf(line.Slope), Expected);
    }

    /// <summary>Where a ramp starts that is under way at the first scan of a stretch, or behind a rest too brief to show: as other starts say.</summary>
    /// <param name="from">First scan of the stretch.</param>
    /// <param name="start">Where it seems to start.</param>
    /// <param name="to">One past the last scan.</param>
    /// <param name="entered">Where it starts.</param>
    /// <returns>False where a rest would show.</returns>
    private bool TryEntered(long from, long start, long to, out long entered)
    {
        entered = from;
        LineFit line = _history.Fit(start, to);
        long step = StepOf(line.Slope);
        if (start - from > StartOdds.MostRest * step) return false;
        entered = new StartOdds(_history, from, to, _sigma, _rising, Starts.Of(line, _sigma)).Entered(step);
        return true;
    }

    // One past the last scan of the whole sweep behind which a start is waited for, or -1.
    private long Waited => _state == State.Waiting && LastEnded is { EndReason: SweepEnd.Retrace } last && last.EndScan == _from ? _from : -1;

    private StartTime Expected => Wavers ? default : Starts.At(Waited, CornerScans(_usualSlope));

    // In as much noise as the ramp moves in a scan a rest of some scans does not show.
    private bool MayHide(double slope) => !Wavers && _sigma >= LeastDither && CornerScans(slope) >= 1;

    private long StepOf(double slope) => Math.Max(1, (long)Math.Round(CornerScans(slope) / 2));

    // A corner of so steep a line shows within so many scans.
    private double CornerScans(double slope) => Math.Pow(_sigma / Math.Max(1e-9, Math.Abs(slope)), 2.0 / 3);

    private bool IsLevel(long from, long to) => Math.Abs(RiseOf(from, to)) < 3;

    private double MeanLevel(long from, long scans) => scans == 1 ? Y(from) : Level(_history.Mean(from, from + scans));

    /// <summary>How far the level or line before a corner goes back, from <paramref name="from"/> to <paramref name="oldest"/> at most.</summary>
    private long StraightBack(long split, long from, long oldest)
    {
        while (from > oldest)
        {
            long n = split - from;
            if (n < 4) return from;
            long further = Math.Max(oldest, from - n);
            LineFit near = _history.Fit(from, split);
            double level = _history.Mean(from, split);
            double mean = _history.Mean(further, from);
            double most = 3 * _sigma / Math.Sqrt(from - further);
            if (Math.Abs(near.Slope) * n > 3.5 * _sigma * Math.Sqrt(12.0 / n) || Math.Abs(mean - level) > most + (2 * _sigma / Math.Sqrt(n)))
                return from;
            from = further;
        }

        return from;
    }
}
