using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;
using Acquire.Capture;

namespace Acquire.Sweeps;

/// <summary>Lines of the course of one length, side by side: what each goes through is known from sums, so several are worked out at once.</summary>
/// <remarks>
/// All numbers are whole and below 2^53 up to the divisions, so they are exact in doubles, and the divisions are those of
/// <see cref="RunningSums.Line"/>: each line has the bits that it has when it is worked out alone.
/// </remarks>
internal sealed partial class LinesAhead
{
    /// <summary>Most lines at once.</summary>
    public const int Most = ScanBlock.Most / ScanBlock.Piece;

    /// <summary>Longest lines.</summary>
    public const int Longest = 128;

    private const int Piece = ScanBlock.Piece;

    // Lines before the first that one may go through.
    private const int MostBefore = 16;
    private const int AtOnce = 4;

    // Whole numbers of up to 51 bits added to it keep their bits, others are rounded.
    private const double Large = 3.0 * (1L << 51);

    // Whole numbers of 2^-32 codes are rounded as they should be up to here.
    private const int MostEnd = 1 << 17;

    private const int Padded = Most + AtOnce;

    // Running sums where lines begin, from as many before the first as a line goes through: of codes, and of codes times their scan counted from the first line.
    private readonly double[] _sums = new double[MostBefore + Padded];
    private readonly double[] _moments = new double[MostBefore + Padded];
    private readonly double[] _ownSums = new double[Padded];
    private readonly double[] _ownMoments = new double[Padded];
    private readonly double[] _ownSquares = new double[Padded];
    private readonly double[] _values = new double[Padded];
    private readonly double[] _steps = new double[Padded];
    private readonly double[] _slopes = new double[Padded];
    private readonly double[] _reaches = new double[Padded];
    private readonly double[] _offs = new double[Padded];
    private readonly double[] _squares = new double[Padded];
    private int _before;
    private int _origin;

    // First scan of a line up to which these sums are known as they are wanted next, or -1.
    private long _known = -1;

    /// <summary>Scans of each line.</summary>
    public int Length { get; private set; }

    /// <summary>Value at the first scan of each line, in 2^-32 codes.</summary>
    public ReadOnlySpan<double> Values => _values;

    /// <summary>Step of each from scan to scan, likewise.</summary>
    public ReadOnlySpan<double> Steps => _steps;

    /// <summary>Slope of each, in codes per scan.</summary>
    public ReadOnlySpan<double> Slopes => _slopes;

    /// <summary>What the window is after each has begun, before it is cut to whole scans.</summary>
    public ReadOnlySpan<double> Reaches => _reaches;

    /// <summary>Mean by which the scans of each lie off it, in codes.</summary>
    public ReadOnlySpan<double> Offs => _offs;

    /// <summary>Mean square likewise.</summary>
    public ReadOnlySpan<double> Squares => _squares;

    /// <summary>As many lines are taken together at least: those of a piece.</summary>
    public int AtLeast => Math.Max(1, Piece / Length);

    /// <summary>Begins anew.</summary>
    /// <param name="length">Scans of each line, a power of two from <see cref="CourseLine.Shortest"/> to <see cref="Longest"/>.</param>
    /// <param name="before">How many times that many scans each line goes through.</param>
    /// <param name="history">Where the sums before the first line are.</param>
    /// <param name="first">First scan of the first line, the next to enter the history.</param>
    /// <returns>Whether the sums are at hand.</returns>
    public bool TryStart(int length, long before, RampHistory history, long first)
    {
        if (before > MostBefore) return false;
        if (first == _known && length == Length && before == _before) return true;
        _known = -1;
        Length = length;
        _before = (int)before;
        if (!TryGetSums(history, first - (before * length), out RunningSums start)) return false;
        _sums[0] = _moments[0] = 0;
        for (int i = 1; i <= _before; i++)
        {
            if (!TryGetSums(history, first - ((_before - i) * length), out RunningSums sums)) return false;
            long sum = unchecked(sums.Sum - start.Sum);
            _sums[i] = sum;
            _moments[i] = unchecked(sums.Moment - start.Moment - (first * sum));
        }

        return true;
    }

    // Those of lines that begin within a piece are worked out.
    private bool TryGetSums(RampHistory history, long end, out RunningSums sums)
    {
        if (Length >= Piece) return history.TryGetSums(end, out sums);
        sums = history.UpTo(end);
        return true;
    }

    /// <summary>Lines were taken: the sums before the next are those of the last of them.</summary>
    /// <param name="lines">How many.</param>
    /// <param name="first">First scan of the first of them.</param>
    public void Take(int lines, long first)
    {
        double sum = _sums[lines], moment = _moments[lines], later = (double)lines * Length;
        for (int i = 0; i <= _before; i++)
        {
            double some = _sums[lines + i] - sum;
            _sums[i] = some;
            _moments[i] = _moments[lines + i] - moment - (later * some);
        }

        _known = first + (lines * Length);
    }

    /// <summary>Sums the scans of lines, so that those after them can be worked out.</summary>
    /// <param name="codes">Place of the first scan; none is further from it than <see cref="RampRun.MostOff"/>.</param>
    /// <param name="lines">How many.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    public void Sum(ref ushort codes, int lines)
    {
        _origin = codes;
        double length = Length, ofOrigin = length * _origin, placesOfOrigin = ofOrigin * (length - 1) / 2;
        ref double sums = ref _sums[_before], moments = ref _moments[_before];
        Vector256<ushort> origin = Vector256.Create(codes), lanes = OwnLanes;
        Vector256<double> first = Vector256.Create(0.0, 1, 2, 3) * length;
        for (int i = 0; i < lines; i += AtOnce, first += Vector256.Create(AtOnce * length))
        {
            int more = Math.Min(i + 1, lines - 1) * Length, third = Math.Min(i + 2, lines - 1) * Length, last = Math.Min(i + 3, lines - 1) * Length;
            RampRun.Sums(ref Unsafe.Add(ref codes, i * Length), Length, lanes, origin, out Vector256<int> sumA, out Vector256<int> placesA, out Vector256<int> squaresA);
            RampRun.Sums(ref Unsafe.Add(ref codes, more), Length, lanes, origin, out Vector256<int> sumB, out Vector256<int> placesB, out Vector256<int> squaresB);
            RampRun.Sums(ref Unsafe.Add(ref codes, third), Length, lanes, origin, out Vector256<int> sumC, out Vector256<int> placesC, out Vector256<int> squaresC);
            RampRun.Sums(ref Unsafe.Add(ref codes, last), Length, lanes, origin, out Vector256<int> sumD, out Vector256<int> placesD, out Vector256<int> squaresD);
            Vector256<double> own = Lanes.Doubles(Lanes.SumsOf(sumA, sumB, sumC, sumD)), places = Lanes.Doubles(Lanes.SumsOf(placesA, placesB, placesC, placesD));
            own.StoreUnsafe(ref _ownSums[0], (nuint)i);
            places.StoreUnsafe(ref _ownMoments[0], (nuint)i);
            Lanes.Doubles(Lanes.SumsOf(squaresA, squaresB, squaresC, squaresD)).StoreUnsafe(ref _ownSquares[0], (nuint)i);
            Vector256<double> all = own + Vector256.Create(ofOrigin);
            all.StoreUnsafe(ref sums, (nuint)i + 1);
            (places + Vector256.Create(placesOfOrigin) + (first * all)).StoreUnsafe(ref moments, (nuint)i + 1);
        }

        double sum = sums, moment = moments;
        for (nuint i = 1; i <= (nuint)lines; i++)
        {
            Unsafe.Add(ref sums, i) = sum += Unsafe.Add(ref sums, i);
            Unsafe.Add(ref moments, i) = moment += Unsafe.Add(ref moments, i);
        }
    }

    // Of a vector read at a line's first scan what is the line's: all of it, unless the line is shorter.
    private Vector256<ushort> OwnLanes => Lanes.FirstLanes(Math.Min(Length, Piece));

    /// <summary>Puts the first line, which has begun.</summary>
    /// <param name="line">The line.</param>
    public void SetFirst(in CourseLine line)
    {
        _values[0] = line.Value;
        _steps[0] = line.Step;
        _slopes[0] = line.Slope;
    }

    /// <summary>Works out the lines after the first, through as many scans each.</summary>
    /// <param name="lines">How many with the first.</param>
    /// <param name="span">What lies between the ends, in codes: a steeper line is none.</param>
    /// <param name="way">Of it, in codes, what the window reaches over.</param>
    /// <param name="leastSlope">Slope that the window goes by at least.</param>
    /// <param name="window">Scans of the window after the first line has begun.</param>
    /// <param name="slack">By so many scans it may leave those that a line goes through.</param>
    /// <returns>How many there are, up to the first for which another window holds or that is too steep.</returns>
    [MethodImpl(MethodImplOptions.NoInlining)]
    public int Fit(int lines, double span, double way, double leastSlope, long window, int slack)
    {
        const double Unit = 1L << 32;
        double count = _before * (double)Length;
        if (window < count - slack || window >= count + Length + slack) return 1;
        var less = Vector256.Create(count - 1);
        Vector256<double> all = Vector256.Create(count), spread = Vector256.Create(count * ((count * count) - 1)), length = Vector256.Create((double)Length);
        Vector256<double> least = Vector256.Create(count - slack), beyond = Vector256.Create(count + Length + slack);
        Vector256<double> from = Vector256.Create(-(_before - 1) * (double)Length) + (Vector256.Create(0.0, 1, 2, 3) * length);
        ref double sums = ref _sums[0], moments = ref _moments[0];
        for (int i = 1; i < lines; i += AtOnce, from += length * 4)
        {
            nuint at = (nuint)i, to = (nuint)(i + _before);
            Vector256<double> sum = Vector256.LoadUnsafe(ref sums, to) - Vector256.LoadUnsafe(ref sums, at);
            Vector256<double> moment = Vector256.LoadUnsafe(ref moments, to) - Vector256.LoadUnsafe(ref moments, at) - (from * sum);
            Vector256<double> slope = ((2.0 * moment) - (less * sum)) * 6.0 / spread, end = (sum / all) + (slope * less / Vector256.Create(2.0));
            Vector256<double> step = Whole(slope * Unit), value = Whole(end * Unit) + step;
            Vector256<double> steep = Vector256.Abs(slope), reach = Vector256.Create(way) / Vector256.Max(steep, Vector256.Create(leastSlope));
            slope.StoreUnsafe(ref _slopes[0], at);
            step.StoreUnsafe(ref _steps[0], at);
            value.StoreUnsafe(ref _values[0], at);
            reach.StoreUnsafe(ref _reaches[0], at);
            Vector256<double> fits = Vector256.LessThanOrEqual(steep * length, Vector256.Create(span)) & Vector256.LessThanOrEqual(Vector256.Abs(end), Vector256.Create((double)MostEnd));
            uint fit = fits.ExtractMostSignificantBits(), same = (Vector256.GreaterThanOrEqual(reach, least) & Vector256.LessThan(reach, beyond)).ExtractMostSignificantBits();
            // The window that a line leaves is that of the one after it.
            int good = Math.Min(BitOperations.TrailingZeroCount(~fit), BitOperations.TrailingZeroCount(~same) + 1);
            if ((fit & same) != (1 << AtOnce) - 1) return Math.Min(lines, i + good);
        }

        return lines;
    }

    /// <summary>Works out how far the scans of lines lie off them.</summary>
    /// <param name="lines">How many, from the first on.</param>
    [MethodImpl(MethodImplOptions.NoInlining)]
    public void Close(int lines)
    {
        double n = Length, sumOfPlaces = n * (n - 1) / 2;
        Vector256<double> count = Vector256.Create(n), each = Vector256.Create(1 / n), places = Vector256.Create(sumOfPlaces), placeSquares = Vector256.Create(sumOfPlaces * ((2 * n) - 1) / 3);
        Vector256<double> origin = Vector256.Create((double)_origin), two = Vector256.Create(2.0), unit = Vector256.Create((double)(1L << 32));
        for (int i = 0; i < lines; i += AtOnce)
        {
            nuint at = (nuint)i;
            Vector256<double> value = Vector256.LoadUnsafe(ref _values[0], at) / unit, b = Vector256.LoadUnsafe(ref _slopes[0], at);
            // From the origin of the sums to that of the line, as RampCourse.TakeRun has it.
            Vector256<double> lineOrigin = Vector256.Floor(value), over = origin - lineOrigin, a = value - lineOrigin, own = Vector256.LoadUnsafe(ref _ownSums[0], at);
            Vector256<double> sum = own + (count * over), moment = Vector256.LoadUnsafe(ref _ownMoments[0], at) + (over * places);
            Vector256<double> squares = Vector256.LoadUnsafe(ref _ownSquares[0], at) + (two * over * own) + (count * over * over);
            ((sum - (a * count) - (b * places)) * each).StoreUnsafe(ref _offs[0], at);
            ((squares - (two * a * sum) - (two * b * moment) + (a * a * count) + (two * a * b * places) + (b * b * placeSquares)) * each).StoreUnsafe(ref _squares[0], at);
        }
    }

    /// <summary>A line with its scans, which lie on it.</summary>
    /// <param name="line">Index of the line.</param>
    /// <param name="first">First scan of the first line.</param>
    /// <param name="mostOff">As <see cref="CourseLine.MostOff"/>.</param>
    public CourseLine LineAt(int line, long first, double mostOff)
    {
        long scan = first + (line * Length);
        return new CourseLine(scan, scan + Length, (long)_values[line], (long)_steps[line], _slopes[line], mostOff);
    }

    /// <summary>Puts lines with their scans, which lie on them.</summary>
    /// <param name="first">First scan of the first line.</param>
    /// <param name="lines">Gets as many as it holds.</param>
    public void CopyTo(Span<CourseLine> lines, long first)
    {
        ReadOnlySpan<double> values = _values.AsSpan(0, lines.Length), steps = _steps.AsSpan(0, lines.Length), slopes = _slopes.AsSpan(0, lines.Length);
        int length = Length;
        for (int i = 0; i < lines.Length; i++)
        {
            long start = first;
            first += length;
            lines[i] = new CourseLine(start, first, WholeOf(values[i]), WholeOf(steps[i]), slopes[i], double.PositiveInfinity);
        }

        // Below 2^51, so that nothing needs to be cut.
        static long WholeOf(double whole) => double.ConvertToIntegerNative<long>(whole);
    }

    /// <summary>Sums of the scans of a line; what else a run measures is not known here.</summary>
    public RampRun RunAt(int line) => new() { Origin = _origin, Sum = (int)_ownSums[line], Moment = (int)_ownMoments[line], Squares = (long)_ownSquares[line] };

    /// <summary>Running sums, as far back as lines go: the first entry is that before the first scan, those after it are those up to the end of each line.</summary>
    public ReadOnlySpan<double> RunningSums => _sums.AsSpan(_before);

    /// <summary>The same of codes times their scan, counted from the first.</summary>
    public ReadOnlySpan<double> RunningMoments => _moments.AsSpan(_before);

    // Rounded to the nearest whole number, the even one of two, as Math.Round has it; of what is below 2^51.
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Whole(Vector256<double> v)
    {
        Vector256<double> large = Vector256.Create(Large);
        return (v + large) - large;
    }
}
