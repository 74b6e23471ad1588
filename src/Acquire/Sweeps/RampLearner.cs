namespace Acquire.Sweeps;

/// <summary>Finds out whether there is a ramp at all, which way it draws and between which codes, from its turning points.</summary>
/// <remarks>
/// A sweep is a straight leg whose flyback is at least sqrt 2 times as fast, the middle between a flyback of half a sweep and none. Legs
/// equally fast both ways are a ramp that draws both ways only if they turn without resting: with rests they cannot be told from a
/// clipped mains sine, and the direction has to be given.
/// </remarks>
internal sealed partial class RampLearner
{
    private const double FasterBack = 1.41;
    private const int MostAgainst = 32;

    // A leg that moves in a larger share of its scans has had no rest.
    private const double MostMoving = 0.97;

    // A sweep that with its rest takes a larger share of the history will have left it when the next begins.
    private const double Crowd = 0.4;

    // Of fewer scans no bump is told from the leg, nor of more of its way.
    private const long LeastWithBump = 48;
    private const double HighestBump = 0.5;

    // Of the leg as far as it is: what comes back by more, or for longer, is the next leg.
    private const double LongestDip = 0.1;
    private const double DeepestDip = 0.5;

    // Share of a sweep's way that tells a flyback.
    private const double FlownBack = 0.7;

    private readonly RampHistory _history;
    private readonly LegJudge _judge;
    private readonly int _full;
    private readonly RampDirection _wanted;
    private readonly double _givenSpan;

    private long _next;
    private long _segmentFrom;
    private int _direction;
    private int _drawing;
    private double _high;
    private double _low;
    private long _highAt;
    private long _lowAt;
    private double _seenHigh;
    private double _seenLow;
    private RampLeg _last;
    private LegShape _lastShape;
    private bool _haveLast;
    private bool _fillsHistory;
    private int _legs;
    private readonly double[] _votes = new double[3];
    private readonly int[] _against = new int[3];
    private readonly double[] _deviations = new double[64];
    private readonly double[] _startCode = new double[3];
    private readonly double[] _endCode = new double[3];
    private readonly RampLeg[] _counted = new RampLeg[3];
    private readonly double[] _countedMoving = new double[3];
    private readonly LegShape[] _countedShape = new LegShape[3];

    /// <param name="history">The ramp.</param>
    /// <param name="fullCode">2^bits - 1.</param>
    /// <param name="wanted">Direction, or auto.</param>
    /// <param name="givenSpan">Codes between given edges, or 0: not given.</param>
    public RampLearner(RampHistory history, int fullCode, RampDirection wanted, double givenSpan)
    {
        _history = history;
        _judge = new LegJudge(history);
        _full = fullCode;
        _wanted = wanted;
        _givenSpan = givenSpan;
        _drawing = wanted switch { RampDirection.Rising => 1, RampDirection.Falling => -1, _ => 0 };
        Restart(0);
    }

    /// <summary>What was found, when <see cref="Advance"/> or <see cref="Conclude"/> returned true.</summary>
    public RampLock Found { get; private set; }

    /// <summary>The present leg.</summary>
    public LegUnderWay Leg => new(_direction switch { > 0 => _lowAt, < 0 => _highAt, _ => _segmentFrom }, _direction, _drawing);

    private double SmallestAmplitude => _givenSpan > 0 ? Math.Min(0.3 * _givenSpan, 0.1 * _full) : 0.1 * _full;

    /// <summary>Forgets everything and starts at a scan.</summary>
    public void Restart(long from)
    {
        _seenLow = double.PositiveInfinity;
        _seenHigh = double.NegativeInfinity;
        _legs = 0;
        Array.Clear(_votes);
        Array.Clear(_against);
        Array.Clear(_partials);
        StartSegment(from);
    }

    /// <summary>Starts a new stretch after a gap: the turning points before it stay known, the leg under way does not.</summary>
    public void StartSegment(long from)
    {
        if (_direction != 0) KeepPartial();
        _next = _segmentFrom = from;
        _direction = 0;
        _haveLast = _fillsHistory = false;
        _high = double.NegativeInfinity;
        _low = double.PositiveInfinity;
    }

    /// <summary>Goes through the scans that have entered the history.</summary>
    /// <returns>Whether a ramp has been found.</returns>
    public bool Advance()
    {
        while (_next < _history.End)
            if (Take(_next++)) return true;
        return false;
    }

    private bool Allows(bool up) => _wanted is RampDirection.Auto or RampDirection.Both || (_wanted == RampDirection.Rising) == up;

    // Of a ramp that is said to draw both ways one leg is enough to be seen, whichever way it draws.
    private RampDirection DirectionOf(bool up) => _wanted == RampDirection.Both ? RampDirection.Both : up ? RampDirection.Rising : RampDirection.Falling;

    private double Hysteresis()
    {
        double seen = Math.Max(0, _seenHigh - _seenLow);
        double floor = _givenSpan > 0 ? Math.Min(0.04 * _givenSpan, 0.02 * _full) : 0.02 * _full;
        return Math.Max(Math.Max(8 * _history.Noise.QuietSigma, 0.04 * seen), Math.Max(floor, 3));
    }

    private bool Take(long scan)
    {
        if (scan <= _history.SegmentStart) return false;
        double y = _history[scan], before = _history[scan - 1];
        double lower = Math.Min(y, before), higher = Math.Max(y, before);
        _seenHigh = Math.Max(_seenHigh, lower);
        _seenLow = Math.Min(_seenLow, higher);
        double h = Hysteresis();
        if (_direction >= 0 && lower >= _high)
        {
            _high = lower;
            _highAt = scan;
        }

        if (_direction <= 0 && higher <= _low)
        {
            _low = higher;
            _lowAt = scan;
        }

        if (_fillsHistory && VoteEarly()) return true;
        if (_direction == 0)
        {
            if (lower > _low + h) Turn(1, scan, lower, ref _high, ref _highAt);
            else if (higher < _high - h) Turn(-1, scan, higher, ref _low, ref _lowAt);
            return false;
        }

        Pace(scan, _direction > 0 ? lower - _low : _high - higher);
        bool turns = _direction > 0 ? higher < _high - h && !IsBump(_lowAt, _highAt, scan, higher + h) : lower > _low + h && !IsBump(_highAt, _lowAt, scan, lower - h);
        return turns && !MayBeDip(scan) && TurnBack(scan);
    }

    /// <summary>The leg has ended at its extreme; the next has gone as far as it did since.</summary>
    private bool TurnBack(long scan)
    {
        bool up = _direction > 0;
        long extreme = Refine(up ? _highAt : _lowAt, scan);
        bool found = Finish(new RampLeg(up, up ? _lowAt : _highAt, extreme));
        _direction = -_direction;
        if (up) (_lowAt, _low) = FurthestSince(extreme, scan);
        else (_highAt, _high) = FurthestSince(extreme, scan);
        return found;
    }

    /// <summary>The last and furthest of two scans in the direction of the leg under way.</summary>
    private (long At, double Code) FurthestSince(long extreme, long scan)
    {
        (long At, double Code) furthest = (scan, InBoth(scan));
        for (long i = scan - 1; i >= extreme + 2; i--)
        {
            double code = InBoth(i);
            if (_direction > 0 ? code > furthest.Code : code < furthest.Code) furthest = (i, code);
        }

        return furthest;

        double InBoth(long i) => _direction > 0 ? Math.Min(_history[i], _history[i - 1]) : Math.Max(_history[i], _history[i - 1]);
    }

    /// <summary>Whether the leg may go on: it has come back by a little, and not for long.</summary>
    private bool MayBeDip(long scan)
    {
        (long start, long extreme) = _direction > 0 ? (_lowAt, _highAt) : (_highAt, _lowAt);
        if (extreme - start < LeastWithBump || start < _history.Oldest || scan - extreme > LongestDip * (extreme - start)) return false;
        return Math.Abs(_history[scan] - _history[extreme]) <= DeepestDip * Math.Abs(_history[extreme] - _history[start]);
    }

    /// <summary>Whether the leg has not turned: it is above the line on which it was before it rose to its highest, and may only come back to that.</summary>
    /// <param name="start">Where the leg starts.</param>
    /// <param name="extreme">Its highest scan, or lowest where it falls.</param>
    /// <param name="scan">The last scan.</param>
    /// <param name="level">What the line must not reach there.</param>
    private bool IsBump(long start, long extreme, long scan, double level)
    {
        long n = extreme - start, from = extreme - (n / 2), to = extreme - (n / 6);
        if (n < LeastWithBump || from < _history.Oldest) return false;
        LineFit fit = _history.Fit(from, to);
        double line = fit.After(scan + 1 - to), way = Math.Abs(_history[extreme] - _history[start]);
        // A line through a rest is none of the leg.
        if (Math.Abs(_history[extreme] - fit.After(extreme + 1 - to)) > HighestBump * way) return false;
        return _direction > 0 ? level > line : level < line;
    }

    // The extreme of two scans lies one scan late on a single turning scan.
    private long Refine(long at, long scan)
    {
        long best = at;
        for (long i = Math.Max(at - 1, _history.SegmentStart); i <= Math.Min(at + 1, scan); i++)
        {
            bool better = _direction > 0 ? _history[i] > _history[best] : _history[i] < _history[best];
            if (better) best = i;
        }

        if (_direction > 0) _highAt = best;
        else _lowAt = best;
        return best;
    }

    private void Turn(int direction, long scan, double level, ref double extreme, ref long at)
    {
        _direction = direction;
        extreme = level;
        at = scan;
    }

    private bool Finish(RampLeg leg)
    {
        _legs++;
        bool cut = leg.Start < _history.Oldest;
        if (cut) leg = leg with { Start = _history.Oldest };
        LegShape shape = leg.End > leg.Start ? _judge.Measure(leg, _history.Noise.Sigma) : default;
        bool rested = shape.Amplitude > 0 && shape.MovingShare < MostMoving;
        TellDrawing(leg, shape);
        // What left the history was rest, or nobody knows how far it moved.
        if (cut && !rested)
        {
            _haveLast = _fillsHistory = false;
            return false;
        }

        if (!cut) KeepPiece(leg, shape);
        bool found = _haveLast && Vote(_last, _lastShape, leg, shape);
        _last = leg;
        _lastShape = shape;
        _haveLast = true;
        _fillsHistory = shape.Straight && shape.MovingScans >= 50 && _history.End - leg.Start > Crowd * _history.Capacity;
        return found;
    }

    /// <summary>After a sweep that nearly fills the history its flyback is judged while it runs: when it has ended the sweep has left.</summary>
    private bool VoteEarly()
    {
        RampLeg leg = _direction > 0 ? new RampLeg(true, _lowAt, _highAt) : new RampLeg(false, _highAt, _lowAt);
        double way = Math.Abs(_history[leg.End] - _history[leg.Start]);
        if (way < FlownBack * _lastShape.Amplitude) return false;
        _fillsHistory = false;
        LegShape shape = _judge.Measure(leg, _history.Noise.Sigma);
        // A part of the way takes less time: what counts is the pace.
        double scansForAll = shape.RunningScans * _lastShape.Amplitude / Math.Max(shape.Amplitude, 1);
        return _lastShape.RunningScans >= FasterBack * scansForAll && Vote(_last, _lastShape, leg, shape);
    }
}
