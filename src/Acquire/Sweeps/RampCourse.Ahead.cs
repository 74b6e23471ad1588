namespace Acquire.Sweeps;

// Lines ahead, while nothing changes but their values: what each would be is known from sums, before its scans are looked at.
internal sealed partial class RampCourse
{
    private readonly LinesAhead _ahead = new();
    private readonly double[] _variances = new double[LinesAhead.Most];
    private readonly double[] _limits = new double[LinesAhead.Most];

    /// <summary>Whether the last line was longer than those that are worked out ahead: the next will be too.</summary>
    public bool HasLongLines => _lineEnd - _lineStart > LinesAhead.Longest;

    /// <summary>The lines that <see cref="LookAhead"/> has worked out.</summary>
    public LinesAhead Ahead => _ahead;

    /// <summary>Works out lines that follow on the one that has just begun, as long as they are as long as it is, go through as many scans and end with nothing to be seen to.</summary>
    /// <param name="scan">Its first scan, the next to enter the history.</param>
    /// <param name="codes">Place of that scan; none of those in the lines is further from it than <see cref="RampRun.MostOff"/>.</param>
    /// <param name="most">Lines at most, with the one that has begun.</param>
    /// <returns>How many there are with it; 0: it is not one of those.</returns>
    public int LookAhead(long scan, ref ushort codes, int most)
    {
        int length = (int)(_lineEnd - _lineStart);
        if (scan != _lineStart || !IsSteady(length) || !_ahead.TryStart(length, _lineScans / length, _history, _lineStart)) return 0;
        _ahead.Sum(ref codes, most);
        _ahead.SetFirst(new CourseLine(_lineStart, _lineEnd, _lineValue, _lineStep, _lineSlope, _pieceLimit));
        int lines = _ahead.Fit(most, _span, WindowShare * _span, double.MaxNative(0.5 * _firstSlope, 1e-9), _window, (int)SlackOf(length));
        _ahead.Close(lines - 1);
        return FollowSigmas(lines);
    }

    /// <summary>Whether the line that has begun is of the length that its window asks for, and the window sets all that follow.</summary>
    private bool IsSteady(int length)
    {
        long n = _lineScans, window = n + length + SlackOf(length) - 1;
        return _heldUntil == 0 && length is >= CourseLine.Shortest and <= LinesAhead.Longest && !Ripples && LengthFor(n, ripples: false) == length
            // No stretch is so long that a kink is looked for in longer ones.
            && 16 * length > window + 1
            && _lineStart - _begin > window && _lineStart - _history.OldestAt(_lineStart + 1) > window && _history.Capacity - (2 * BlockScans) > window;
    }

    /// <summary>Goes through the deviation as the lines end, see <see cref="CloseLine"/>.</summary>
    /// <returns>How many lines there are up to one that ends otherwise.</returns>
    private int FollowSigmas(int lines)
    {
        ReadOnlySpan<double> offs = _ahead.Offs[..lines], squares = _ahead.Squares[..lines], reaches = _ahead.Reaches[..lines];
        Span<double> variances = _variances.AsSpan(0, lines), limits = _limits.AsSpan(0, lines);
        double variance = _variance, sigma = _sigma, scans = _ahead.Length, leastLimit = double.PositiveInfinity;
        // KinkLimit for a piece, for a line, and without noise, which is hardly ever passed.
        double noise = _history.Noise.Sigma, least = KinkShare * _span, ofPiece = KinkNoises * noise / PieceRoot, ofLine = KinkNoises * noise / Math.Sqrt(scans);
        if (scans <= PieceScans) ofPiece = double.PositiveInfinity;
        bool follows = _lineScans >= LeastFollowed;
        long window = _lineWindow, next = _window;
        for (int i = 0; ; i++)
        {
            double some = KinkSigmas * sigma, limit = some + ofPiece + least;
            variances[i] = variance;
            limits[i] = limit;
            leastLimit = double.MinNative(leastLimit, limit);
            if (i == lines - 1) break;
            // The next waits for the variance only, not for its root.
            if (follows) variance = Followed(variance, squares[i], scans, window);
            sigma = Math.Sqrt(variance);
            (window, next) = (next, (long)reaches[i + 1]);
            some = KinkSigmas * sigma;
            double off = Math.Abs(offs[i]);
            if (sigma <= 2.5 * noise && (off <= some + least || off <= some + ofLine + least)) continue;
            lines = i + 1;
            break;
        }

        LeastMostOffAhead = leastLimit;
        return lines;
    }

    /// <summary>A line ahead.</summary>
    /// <param name="line">Its index.</param>
    public CourseLine LineAhead(int line) => _ahead.LineAt(line, _lineStart, _limits[line]);

    /// <summary>Least <see cref="CourseLine.MostOff"/> of all lines ahead.</summary>
    public double LeastMostOffAhead { get; private set; }

    /// <summary>Course at a scan of a line ahead.</summary>
    public LineFit OnAhead(in CourseLine line, long scan) => new(line.Placed(scan), line.Slope, _lineScans);

    /// <summary>Takes scans that lie on lines ahead and nowhere leave them.</summary>
    /// <param name="lines">How many lines, at least one.</param>
    public void TakeAhead(int lines)
    {
        int last = lines - 1, length = _ahead.Length;
        long first = _lineStart;
        if (last > 0)
        {
            CourseLine line = LineAhead(last);
            _lineWindow = last == 1 ? _window : (long)_ahead.Reaches[last - 1];
            SetSlope(line.Slope);
            SetLine(line);
            SetVariance(_variances[last]);
        }

        TakeRun(_lineStart, length, _ahead.RunAt(last));
        _ahead.Take(lines, first);
    }
}
