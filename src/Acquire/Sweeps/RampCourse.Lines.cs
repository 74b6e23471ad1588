using System.Numerics;
using System.Runtime.CompilerServices;

namespace Acquire.Sweeps;

// Lines drawn on over the scans that follow, in whole numbers, so that each way of working them out gives the same bits.
internal sealed partial class RampCourse
{
    private const int ValueBits = 32;
    private const int FineBits = 16;
    private const long LongestLine = 512;

    // A kink inside of a line is looked for after so many scans.
    private const long PieceScans = Capture.ScanBlock.Piece;
    private const int BlockScans = Capture.ScanBlock.Scans;
    private const double PieceRoot = 4;

    // Scans [_lineStart, _lineEnd) lie on the line (_lineValue + _lineStep k) / 2^32 codes, k scans after its start.
    private long _lineStart;
    private long _lineEnd;
    private long _lineValue;
    private long _lineStep;
    private double _lineSlope;
    private long _lineScans;
    private long _lineWindow;

    // Of the codes since the line's start, less a whole code near it: sums of them, of them times k, of their squares.
    private int _lineOrigin;
    private long _sum;
    private long _moment;
    private long _squares;
    private long _pieceSum;
    private double _pieceLimit;
    private double _pieceOff;
    private bool _kinked;

    // The line is drawn on over a bump up to this scan at most; 0: there is none.
    private long _heldUntil;

    /// <summary>Scans over which a line through so many is drawn on.</summary>
    private static long LengthFor(long scans, bool ripples)
    {
        if (scans < CourseLine.Shortest * 4) return 1;
        // As long as a piece they are drawn on by a third: by a quarter they would not be before 64, near which usual sweeps of 2,000 scans lie.
        long most = scans is >= 48 and < 64 && !ripples ? scans / 3 : scans < 448 ? Math.Min(64, scans / 4) : Math.Min(LongestLine, scans / 7);
        return 1L << BitOperations.Log2((ulong)most);
    }

    /// <summary>Whether a line goes through as many scans as the one before it: a window that noise moves to and fro lets lines not come and go.</summary>
    /// <param name="window">Scans that it should go through, at most.</param>
    /// <param name="scans">Scans that the one before it went through.</param>
    /// <param name="length">Scans over which that was drawn on.</param>
    private static bool IsNear(long window, long scans, long length) => window >= scans - SlackOf(length) && window < scans + length + SlackOf(length);

    private static long SlackOf(long length) => length / 4;

    private bool TryStartLine(long scan)
    {
        if (_heldUntil > 0)
        {
            HoldLine(scan);
            return true;
        }

        long window = _window, available = Math.Min(scan - _begin, scan - _history.OldestAt(scan + 1)), n = Math.Min(window, available);
        bool ripples = Ripples;
        if (available >= _lineScans && IsNear(window, _lineScans, LengthFor(_lineScans, ripples))) n = _lineScans;
        long place = scan + 1, length = Math.Min(LengthFor(n, ripples), place & -place);
        if (length < 2 || n < (ripples ? window / 4 : ShortestWindow)) return false;
        // It begins where lines begin, as far as these are not much shorter than it.
        n -= n & (length - 1);
        LineFit fit = scan == _history.End ? _history.FitFrom(scan - n) : _history.Fit(scan - n, scan);
        if (Math.Abs(fit.Slope) * length > _span || Math.Abs(fit.End) > 1 << 20) return false;
        if (n >= window / 2) SetSlope(fit.Slope);
        long step = double.ConvertToIntegerNative<long>(Math.Round(fit.Slope * (1L << ValueBits)));
        long value = double.ConvertToIntegerNative<long>(Math.Round(fit.End * (1L << ValueBits))) + step;
        double limit = length <= PieceScans || ripples ? double.PositiveInfinity : KinkLimit(PieceRoot, ripple: false);
        SetLine(new CourseLine(scan, scan + length, value, step, fit.Slope, limit));
        _lineScans = n;
        _lineWindow = window;
        return true;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void SetLine(in CourseLine line)
    {
        (_lineStart, _lineEnd, _lineValue, _lineStep, _lineSlope, _pieceLimit) = (line.Start, line.End, line.Value, line.Step, line.Slope, line.MostOff);
        _kinked = false;
        _lineOrigin = (int)(line.Value >> ValueBits);
        _sum = _moment = _squares = _pieceSum = 0;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private LineFit LineAt(long scan) =>
        new((double)((_lineValue + (_lineStep * (scan - _lineStart))) >> (ValueBits - FineBits)) / (1 << FineBits), _lineSlope, _lineScans);

    // The line at its first scan, in codes.
    private double LineBegin => (double)_lineValue / (1L << ValueBits);

    private void AddToLine(ushort code, long place)
    {
        int off = code - _lineOrigin;
        _sum += off;
        _moment += off * place;
        _squares += (long)off * off;
    }

    private void ClosePiece(long end)
    {
        double sum = _sum - _pieceSum;
        _pieceSum = _sum;
        double middle = end - _lineStart - ((PieceScans + 1) / 2.0);
        double off = (sum / PieceScans) - LineBegin + _lineOrigin - (_lineSlope * middle);
        if (Math.Abs(off) <= _pieceLimit) return;
        _pieceOff = off;
        _kinked = true;
        _lineEnd = end;
    }

    /// <summary>The line's scans are all known: how far they lay around it, and whether the ramp has left it.</summary>
    private void CloseLine()
    {
        long end = _lineEnd, n = end - _lineStart;
        _lineStart = end;
        // Deviations from a + b k, by the sums: the squares lose at most a few of 53 bits.
        double a = LineBegin - _lineOrigin, b = _lineSlope, count = n, each = 1 / count;
        double places = count * (count - 1) / 2, placeSquares = places * ((2 * count) - 1) / 3;
        double off = (_sum - (a * count) - (b * places)) * each;
        double square = (_squares - (2 * a * _sum) - (2 * b * _moment) + (a * a * count) + (2 * a * b * places) + (b * b * placeSquares)) * each;
        if (_heldUntil > 0)
        {
            double middle = places * each, spread = placeSquares - (places * middle), steeper = spread > 0 ? ((_moment - (middle * _sum)) / spread) - b : 0;
            CloseHeld(end, n, off, steeper);
            return;
        }

        if (_lineScans >= LeastFollowed) FollowSigma(square, n, _lineWindow);
        bool ripple = Ripples;
        if (_kinked)
        {
            _kinked = false;
            LeaveLine(end, n, PieceScans, _pieceOff, ripple);
            return;
        }

        if (_lineScans < (ripple ? _lineWindow / 2 : ShortestWindow)) return;
        if ((!ripple || n >= 32) && IsOff(off, n, ripple))
        {
            LeaveLine(end, n, n, off, ripple);
            return;
        }

        long scans = Math.Min(_lineScans + n, end - _begin), shortest = 4 * n;
        if (shortest <= scans / 4 && Kink(end, scans, shortest, ripple) is var kink and > 0) _begin = end - kink;
    }

    /// <summary>Whether the line that a scan lies on goes on after it.</summary>
    public bool GoesOnAfter(long scan) => _lineEnd > scan + 1;

    /// <summary>The line that a scan about to come will lie on.</summary>
    /// <param name="scan">The one after the last.</param>
    /// <param name="line">The line, as far as it goes on from there.</param>
    /// <returns>False where the scan's course is found in another way; asking has changed nothing then that the scan itself would not.</returns>
    public bool TryLine(long scan, out CourseLine line)
    {
        if (scan >= _lineEnd)
        {
            if (_lineEnd > _lineStart) CloseLine();
            if (!TryStartLine(scan))
            {
                line = default;
                return false;
            }
        }

        line = new CourseLine(scan, _lineEnd, _lineValue + (_lineStep * (scan - _lineStart)), _lineStep, _lineSlope, _pieceLimit);
        return true;
    }

    /// <summary>Takes scans that lie on the line and nowhere leave it.</summary>
    /// <param name="scan">The first.</param>
    /// <param name="scans">A multiple of 16, or the whole of a shorter line.</param>
    /// <param name="run">What they measure.</param>
    public void TakeRun(long scan, int scans, in RampRun run)
    {
        long n = scans, place = scan - _lineStart, over = run.Origin - _lineOrigin, places = n * (n - 1) / 2;
        _sum += run.Sum + (n * over);
        _moment += (place * run.Sum) + run.Moment + (over * ((place * n) + places));
        _squares += run.Squares + (2 * over * run.Sum) + (n * over * over);
        _pieceSum = _sum;
        Last = LineAt(scan + n - 1);
    }

    /// <summary>Course at a scan of the line under way.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    public LineFit OnLine(long scan) => LineAt(scan);
}
