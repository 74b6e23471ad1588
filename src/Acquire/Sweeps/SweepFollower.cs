using System.Runtime.CompilerServices;

namespace Acquire.Sweeps;

/// <summary>Follows a ramp whose direction and size are known, scan by scan, and says where each sweep starts and ends.</summary>
/// <remarks>
/// <code>
///            onset                       drop, jump, halt at the end
///   Waiting -------> Sweeping ------------------------------------> Waiting
///      ^  (goes back to the sweep's first scan)      (goes back to the first scan after the sweep)
///      |                                  gap, break
///   Entering &lt;----------------------------------------------------- any
/// </code>
/// Everything is written for a ramp that rises; a falling one is mirrored. A decision is taken when the ramp has moved by the
/// hysteresis; the corner is then looked for in the history and the scans since are gone through again in the new state.
/// F1  Scans are given to the listener in order, each once per sweep. F2  A sweep's end is after its start. F3  Going back never goes
/// behind the last corner and is bounded: five steps a scan and four lengths of the history, whatever the ramp does.
/// </remarks>
internal sealed partial class SweepFollower
{
    private enum State
    {
        /// <summary>After a begin, gap or break: the ramp may be anywhere.</summary>
        Entering,

        /// <summary>Retrace or rest.</summary>
        Waiting,

        /// <summary>On the way from edge to edge.</summary>
        Sweeping,
    }

    private readonly RampHistory _history;
    private readonly RampPast _past;
    private readonly ISweepListener _listener;
    private readonly RampCourse _course;
    private readonly CornerSearch _corner = new();
    private readonly StartSearch _starts = new();
    private readonly HummedHinge _hummed = new();
    private readonly GoingBack _goingBack;
    private readonly int _full;

    private State _state;
    private bool _both;
    private bool _rising;
    private bool _scout;
    private double _low;
    private double _high;
    private double _sigma;
    private double _ripple;
    private double _usualSlope;
    private StartMemory _risingStarts;
    private StartMemory _fallingStarts;
    private long _startsKnown;

    // Start that was found under hum, or -1, and the ramp's line without it.
    private long _metUnderHum = -1;
    private LineFit _rampUnderHum;
    private double _lastEnd;

    private long _next;
    private long _furthest;
    private long _end;
    private long _segmentStart;
    private long _from;
    private SweepStart _enteredBy;
    private double _expected;
    private double _expectedSlope;

    // Waiting: running lowest and, drawing both ways, highest of two scans.
    private double _base;
    private double _top;
    private double _retraceBase;
    private long _retraceEnd;
    private long _doubtFrom = -1;
    private double _doubtAbove;

    // Sweeping.
    private long _start;
    private SweepStart _startReason;
    private long _waited;
    private double _startLevel;
    private LineFit _onset;
    private CourseLine _onsetLine;
    private long _onsetKnown;

    // Scans up to here lie on the line by which the onset was found: behind them there is nothing yet to fit, and nothing else to be decided but a drop.
    private long _lineKnown;
    private double _peak;
    private long _peakAt;
    private LineFit _courseAtPeak;
    private long _halted;
    private double _haltLevel;
    private double _haltMean;
    private long _confirmed;
    private long _confirmDue;
    private bool _fitted;

    public SweepFollower(RampHistory history, RampPast past, ISweepListener listener, int fullCode)
    {
        _history = history;
        _past = past;
        _listener = listener;
        _full = fullCode;
        _course = new RampCourse(history);
        _goingBack = new GoingBack(earned: 4, 4L * history.Capacity);
    }

    /// <summary>Whether a sweep is under way.</summary>
    public bool InSweep => _state == State.Sweeping;

    /// <summary>Whether the ramp draws with rising codes now.</summary>
    public bool Rising => _rising;

    /// <summary>First scan that belongs to no ended sweep.</summary>
    public long PendingFrom => _from;

    /// <summary>One past the last scan of the retrace after the last sweep, as far as it is known; the scans after it are rest.</summary>
    public long RetraceEnd => Math.Max(_from, _retraceEnd);

    /// <summary>Deviation of the ramp around its course, in codes.</summary>
    public double Sigma => _sigma;

    /// <summary>Scans that may be the first of a sweep.</summary>
    public SweepDoubt Doubt => _state == State.Sweeping || _doubtFrom < 0
        ? SweepDoubt.None
        : new SweepDoubt(_doubtFrom, _next, _state == State.Entering ? _enteredBy : SweepStart.Ramp, _rising);

    /// <summary>Takes over how sweeps started for another follower; those are not learnt again.</summary>
    public void LearnStartsFrom(SweepFollower other) =>
        (_risingStarts, _fallingStarts, _startsKnown) = (other._risingStarts, other._fallingStarts, other._startsKnown);

    /// <summary>Usual slope of a sweep, in codes per scan, or 0: not known.</summary>
    public double UsualSlope => _usualSlope;

    /// <summary>Scans gone through so far, those gone through again counted again.</summary>
    public long Steps { get; private set; }

    /// <summary>The last sweep that ended, or null.</summary>
    public TrackedSweep? LastEnded { get; private set; }

    private ref StartMemory Starts => ref _rising ? ref _risingStarts : ref _fallingStarts;

    private double Span => _high - _low;

    /// <summary>Starts over with what was learnt, from a scan on.</summary>
    /// <param name="found">Direction, ends and noise.</param>
    /// <param name="since">First scan of the stretch; it may have left the history.</param>
    /// <param name="from">First scan to go through.</param>
    /// <param name="reason">Why the stream begins there.</param>
    /// <param name="scout">The ends are a guess: do not use them to end a sweep or to judge its start.</param>
    /// <param name="usualSlope">Slope of a sweep where it is known, otherwise 0.</param>
    public void Restart(RampLock found, long since, long from, SweepStart reason, bool scout, double usualSlope)
    {
        _both = found.Direction == RampDirection.Both;
        _rising = found.Direction != RampDirection.Falling;
        _scout = scout;
        SetEnds(found.LowCode, found.HighCode);
        _sigma = Math.Max(found.NoiseCodes, RampNoise.Floor);
        _ripple = found.RippleCodes;
        _limits = default;
        _usualSlope = usualSlope;
        _risingStarts.Clear();
        _fallingStarts.Clear();
        _startsKnown = 0;
        _lastEnd = double.NaN;
        _next = from;
        _furthest = from;
        _end = from;
        ForgetRejected();
        _hasSlowFlyback = false;
        LastEnded = null;
        Enter(since, reason);
        // What lies before is no flyback: a ramp was found that fills the history.
        if (since < from) _retraceBase = double.NegativeInfinity;
    }

    /// <summary>Moves the ends of the ramp to where whole sweeps were seen to run; from now on they count.</summary>
    public void SettleEnds(double lowCode, double highCode)
    {
        _scout = false;
        SetEnds(lowCode, highCode);
    }

    /// <summary>Goes through scans that have entered the history, up to but without <paramref name="end"/>.</summary>
    public void Advance(long end)
    {
        _end = end;
        while (_next < end)
        {
            if (end - _next >= PieceScans && TryPlaceRun(end)) continue;
            long scan = _next++;
            Steps++;
            if (scan >= _furthest)
            {
                _furthest = scan + 1;
                _goingBack.Earn();
            }

            if (_state == State.Sweeping) Sweep(scan);
            else Wait(scan);
        }
    }

    /// <summary>Ends what is under way at a gap, a break or the end of the stream. The scans before it have been gone through.</summary>
    /// <param name="end">Why.</param>
    /// <param name="lostScans">Scans missing, or 0: not known or none.</param>
    public void EndSegment(SweepEnd end, long lostScans)
    {
        if (_state == State.Entering && _end == _from + 1) TrySingleScan();
        else if (_state != State.Sweeping && _end - _from >= 2 && (TryFewScans() || TryLateOnset(_end - 1) || TryShortPiece())) Advance(_end);
        if (_state == State.Sweeping && (_away is Away.Jumped or Away.Dropped || (_end - _start > 3 && FliesBack())))
        {
            EndAway(_end - 1);
            Advance(_end);
        }

        double expected = double.NaN, expectedSlope = 0;
        if (_state == State.Sweeping)
        {
            // A stand too brief to be noticed in passing.
            long halted = _halted > 0 ? _halted : BeforeStand(_end);
            double level = _course.Last.End;
            double slope = SlopeNow();
            // Where it stands counts, not where its course would be by now.
            bool atEnd = halted < _end && !_scout && Math.Abs(Level(_history.Mean(Math.Max(halted, _history.Oldest), _end)) - _high) <= EndTolerance();
            if (end == SweepEnd.Gap && lostScans > 0 && _halted == 0)
            {
                expected = level + (slope * (lostScans + 1));
                expectedSlope = slope;
            }

            Finish(atEnd ? halted : _end, atEnd ? SweepEnd.Retrace : end);
        }

        _listener.SegmentEnded(_end, RetraceEnd);
        Enter(_end, end == SweepEnd.Gap ? SweepStart.Gap : SweepStart.Break);
        _expected = expected;
        _expectedSlope = expectedSlope;
    }

    private void SetEnds(double low, double high)
    {
        _low = _rising ? low : _full - high;
        _high = _rising ? high : _full - low;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private double Y(long scan) => _rising ? _history[scan] : _full - _history[scan];

    // Of the sweep's scans the first that is in the history.
    private long FirstKnown => Math.Max(_start, _history.Oldest);

    private double Level(double code) => _rising ? code : _full - code;

    private double EndTolerance() => Math.Max(0.01 * Span, (1.6 * Math.Abs(_courseAtPeak.Slope)) + (3 * _sigma));

    private double SlopeNow()
    {
        double slope = _course.Last.Slope;
        return _fitted || _peakAt <= _start ? slope : (_rising ? 1 : -1) * (_peak - _startLevel) / Math.Max(1, _peakAt - 1 - _start);
    }

    private void Enter(long from, SweepStart reason)
    {
        _state = State.Entering;
        _enteredBy = reason;
        _segmentStart = from;
        _expected = double.NaN;
        StartWaiting(from);
    }

    private void StartWaiting(long from)
    {
        _from = from;
        _base = double.PositiveInfinity;
        _top = double.NegativeInfinity;
        _retraceBase = double.PositiveInfinity;
        _retraceEnd = from;
        DropDoubt();
    }

    private void Flip()
    {
        _rising = !_rising;
        (_low, _high) = (_full - _high, _full - _low);
        (_base, _top) = (_full - _top, _full - _base);
        DropDoubt();
    }
}
