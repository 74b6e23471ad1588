using System.Runtime.Intrinsics;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>Sums of a straight-line fit of codes that follow one another, in whole numbers: however the codes are grouped, the sums are the same.</summary>
/// <remarks>Time 0 is the first code; every code is one scan later than the one before. Exact up to 2^40 codes.</remarks>
internal struct LegSums
{
    // So many that no lane overflows below.
    private const int MostAtOnce = 4_096;

    // So many that a double holds every whole number above.
    private const int FewCodes = 64;

    private readonly int _origin;
    private long _sum;
    private Int128 _timesTime, _squares;

    private LegSums(int origin) => _origin = origin;

    /// <summary>Codes taken.</summary>
    public long Count { get; private set; }

    /// <summary>Sums of one code.</summary>
    /// <param name="code">The code at time 0; codes are summed relative to it.</param>
    public static LegSums From(int code) => new(code) { Count = 1 };

    /// <summary>Sums of codes.</summary>
    /// <param name="codes">At least one.</param>
    public static LegSums From(ReadOnlySpan<ushort> codes)
    {
        LegSums sums = new(codes[0]);
        sums.Add(codes);
        return sums;
    }

    /// <summary>Takes the next code.</summary>
    public void Add(int code)
    {
        long c = code - _origin;
        _sum += c;
        _timesTime += (Int128)Count * c;
        _squares += c * c;
        Count++;
    }

    /// <summary>Takes the next codes.</summary>
    public void Add(ReadOnlySpan<ushort> codes)
    {
        while (!codes.IsEmpty)
        {
            ReadOnlySpan<ushort> piece = codes[..Math.Min(codes.Length, MostAtOnce)];
            (long sum, long timesIndex, long squares) = SumsOf(piece);
            codes = codes[piece.Length..];

            // From codes to what they are above the origin, and from places in the piece to times.
            long n = piece.Length, places = n * (n - 1) / 2, above = sum - (n * _origin);
            _timesTime += ((Int128)Count * above) + timesIndex - (places * _origin);
            _squares += squares - (2L * _origin * sum) + (n * _origin * _origin);
            _sum += above;
            Count += n;
        }
    }

    /// <summary>Squared correlation of code and time; 1 is a straight line, NaN where there are fewer codes than asked for or they are all alike.</summary>
    /// <param name="fewest">Fewest codes, at least 2.</param>
    public readonly double Straightness(int fewest)
    {
        if (Count < fewest) return double.NaN;
        Int128 n = Count;
        return Straightness((double)((n * n) - 1), (double)((n * _squares) - ((Int128)_sum * _sum)), (double)((2 * _timesTime) - ((n - 1) * _sum)));
    }

    /// <summary>Squared correlation of code and time, of at least 2 codes: that of their sums, for few of them without summing more widely than it takes.</summary>
    public static double StraightnessOf(ReadOnlySpan<ushort> codes)
    {
        if (codes.Length > FewCodes) return From(codes).Straightness(2);
        long n = codes.Length, sum = 0, timesTime = 0, squares = 0;
        int origin = codes[0];
        for (int time = 0; time < codes.Length; time++)
        {
            long above = codes[time] - origin;
            sum += above;
            timesTime += time * above;
            squares += above * above;
        }

        return Straightness((n * n) - 1, (n * squares) - (sum * sum), (2 * timesTime) - ((n - 1) * sum));
    }

    // About the middle: n(n^2-1)/12 is the sum of squares of n times there.
    private static double Straightness(double timeSquares, double squares, double twiceTimes) =>
        squares == 0 ? double.NaN : 3 * twiceTimes * twiceTimes / (timeSquares * squares);

    private static (long Sum, long TimesIndex, long Squares) SumsOf(ReadOnlySpan<ushort> codes)
    {
        int step = Vector256<ushort>.Count, steps = codes.Length / step;
        long sum = 0, timesIndex = 0, squares = 0;
        if (steps > 1)
        {
            Vector256<uint> sums0 = default, sums1 = default, before0 = default, before1 = default;
            Vector256<ulong> square = default;
            for (int k = 0; k < steps; k++)
            {
                (Vector256<uint> low, Vector256<uint> high) = Vector256.Widen(Vector256.Create(codes.Slice(k * step, step)));
                // What stood in the sums before each step, summed: a code counts once for each step after it.
                before0 += sums0;
                before1 += sums1;
                sums0 += low;
                sums1 += high;
                square += Wide(low * low) + Wide(high * high);
            }

            squares = (long)Vector256.Sum(square);
            for (int lane = 0; lane < step; lane++)
            {
                bool first = lane < Vector256<uint>.Count;
                long sumOfLane = first ? sums0[lane] : sums1[lane - Vector256<uint>.Count];
                long after = first ? before0[lane] : before1[lane - Vector256<uint>.Count];
                sum += sumOfLane;
                timesIndex += (step * (((steps - 1) * sumOfLane) - after)) + (lane * sumOfLane);
            }
        }
        else
        {
            steps = 0;
        }

        for (int i = steps * step; i < codes.Length; i++)
        {
            long code = codes[i];
            sum += code;
            timesIndex += i * code;
            squares += code * code;
        }

        return (sum, timesIndex, squares);
    }

    private static Vector256<ulong> Wide(Vector256<uint> v) => (v.AsUInt64() & Vector256.Create((ulong)uint.MaxValue)) + (v.AsUInt64() >>> 32);
}
