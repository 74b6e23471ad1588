namespace Acquire.Sweeps;

// A flyback that rings swings up behind its undershoot as a sweep does, but falls again no faster than it rose.
internal sealed partial class SweepFollower
{
    // Between a decaying swing, which falls more slowly than it rises, and a ramp's flyback, which is sqrt 2 times as fast as the ramp.
    private const double FasterThanSwing = 1.2;

    // Of the way: an undershoot of a fifth swings up by less than twice that.
    private const double LargestSwing = 0.45;

    // A swing that is part of a start is steeper than the ramp by more than a bow makes its first part.
    private const double SwingSteeper = 1.5;

    // What begins so much steeper than sweeps do, and is cut by the stream's end, may be a swing; after a change of the sweep time it may be none.
    private const double SteepSwing = 3;

    // Of the way: a swing of which no fall was noticed has risen by so much at most.
    private const double SmallSwing = 0.1;

    // Parts of a stretch of which one may lie higher than the last two.
    private const int OvershootParts = 16;

    // Small moves weigh so much less than moves as large as a sweep: a flyback may ring for long.
    private const int SmallMoves = 8;

    private int _rejectedEighths;
    private double _riseFrom;
    private double _rejectedAt;
    private bool _hasSlowFlyback;

    /// <summary>Sweeps and parts of them rejected since the last whole sweep: moves that do not start where sweeps start, or end too early. Small ones count an eighth.</summary>
    public int Rejected => _rejectedEighths / SmallMoves;

    /// <summary>Swings of flybacks that rose as far as the least of what is believed to be a sweep, in all that was followed.</summary>
    public int Swings { get; private set; }

    private void ForgetRejected()
    {
        _rejectedEighths = 0;
        _riseFrom = _rejectedAt = double.PositiveInfinity;
    }

    private void Reject(double moved) => _rejectedEighths += moved < LargestSwing * Span ? 1 : SmallMoves;

    /// <summary>Goes on waiting higher up, where what rises is no sweep.</summary>
    private void RejectRise(double level)
    {
        // The same rise goes on where the ramp has not come down since.
        if (_base < _rejectedAt) _riseFrom = _base;
        Reject(level - _riseFrom);
        _base = _rejectedAt = level;
        DropDoubt();
    }

    /// <summary>Whether what has risen a little and falls is a swing of the flyback before.</summary>
    /// <param name="scan">Scan at which the fall was noticed.</param>
    private bool IsSwing(long scan) => IsSmall && !_both && !_hasSlowFlyback && FallsSlowly(scan);

    private bool IsSmall => _peak - _startLevel < LargestSwing * Span;

    /// <summary>Notes how a whole sweep flies back: where that is as slow as a swing falls, swings cannot be told.</summary>
    private void NoteFlyback(long scan)
    {
        if (!IsSmall) _hasSlowFlyback = FallsSlowly(scan);
    }

    private bool FallsSlowly(long scan)
    {
        long top = scan - 1;
        while (top > _peakAt && Y(top) < _peak - (3 * _sigma)) top--;
        if (Y(top - 1) > Y(top)) top--;
        double rise = RiseTo(top), n = scan - top;
        // A scan more or less counts where they are few.
        if (n < FewScans) return (Y(top) - Y(scan)) / n < FasterThanSwing * (1 + (2 / n)) * rise;
        // Noise hides where a slow fall begins.
        long from = Math.Max(FirstKnown, _peakAt - (scan - _peakAt)), corner = _corner.Find(_history, from, scan + 1, _sigma);
        if (corner <= from || scan + 1 - corner < LeastPart) corner = top;
        LineFit fall = _history.Fit(corner, scan + 1);
        return (_rising ? -fall.Slope : fall.Slope) < FasterThanSwing * rise;
    }

    /// <summary>How fast it has risen, codes per scan: a swing is steepest in its middle.</summary>
    private double RiseTo(long top)
    {
        long from = FirstKnown, third = (top - from) / 3;
        double rise = Math.Max(Y(top) - _startLevel, 0) / Math.Max(1, top - _start);
        if (third < LeastPart) return rise;
        double middle = _history.Fit(from + third, top - third).Slope;
        return Math.Max(rise, _rising ? middle : -middle);
    }

    /// <summary>Whether a stretch before a ramp of some slope begins with the last swing of a flyback, which is steeper: a ramp that halted is not.</summary>
    private bool HasSwung(long from, long to, double slope)
    {
        for (long n = to - from; n >= LeastPart; n /= 2)
        {
            double rise = _history.Fit(from, from + n).Slope, doubt = 3 * _sigma * Math.Sqrt(12.0 / n) / n;
            if ((_rising ? rise : -rise) - doubt > SwingSteeper * slope) return true;
        }

        return HasOvershot(from, to);
    }

    /// <summary>Whether a stretch rises little, and comes down again before its end.</summary>
    private bool HasOvershot(long from, long to)
    {
        long part = (to - from) / OvershootParts;
        if (part < LeastPart) return false;
        double last = MeanLevel(to - (2 * part), 2 * part), highest = last;
        for (long scan = from; scan + part <= to; scan += part) highest = Math.Max(highest, MeanLevel(scan, part));
        return highest - last > Math.Max(4 * _sigma * Math.Sqrt(1.5 / part), 0.5) && last - _startLevel < SmallSwing * Span;
    }

    /// <summary>Whether what has risen a little, where the stream ends, is not worth being believed: where edges are learnt others say it better, and swings are steep.</summary>
    private bool MayBeSwing(SweepEnd reason)
    {
        if (reason != SweepEnd.End || LastEnded is not { StartReason: SweepStart.Ramp, EndReason: SweepEnd.Retrace } || !IsSmall) return false;
        return _scout || (_usualSlope > 0 && RiseTo(_peakAt) > SteepSwing * _usualSlope);
    }

    private void CancelSwing(long end)
    {
        _listener.SweepCancelled();
        if (_peak - _startLevel >= LeastSweep * Span) Swings++;
        Reject(_peak - _startLevel);
        WaitFrom(end);
    }
}
