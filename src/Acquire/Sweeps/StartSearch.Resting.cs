using System.Numerics;
using System.Runtime.Intrinsics;

namespace Acquire.Sweeps;

// A rest and the ramp after it: of all places where the ramp may begin, four at a time.
internal sealed partial class StartSearch
{
    private const int Lanes = 4;

    // Of n blocks with the time from a block's start on: sums of time and of its square, their quotient, and that times the first.
    private static readonly double[] X = Of(n => n * n / 2);
    private static readonly double[] XX = Of(n => n * ((4 * n * n) - 1) / 12);
    private static readonly double[] Rise = Of(n => n * n / 2 / (n * ((4 * n * n) - 1) / 12));
    private static readonly double[] RiseX = Of(n => n * n / 2 / (n * ((4 * n * n) - 1) / 12) * (n * n / 2));

    // The same for as many blocks as are left behind a place.
    private static readonly double[] LeftX = Left(X);
    private static readonly double[] LeftXX = Left(XX);
    private static readonly double[] LeftRise = Left(Rise);
    private static readonly double[] LeftRiseX = Left(RiseX);

    private struct Best
    {
        public double Explained;
        public int Foot;
        public int Start;
    }

    private static double[] Of(Func<double, double> value) => [0, .. Enumerable.Range(1, MaxPoints + Lanes - 1).Select(n => value(n))];

    private static double[] Left(double[] values) => [.. values[..(MaxPoints + 1)].Reverse(), .. new double[Lanes]];

    /// <summary>Looks for a better place where the ramp may begin after a rest.</summary>
    /// <param name="foot">First block of the rest.</param>
    /// <param name="points">Blocks.</param>
    /// <param name="flyback">What is explained before it.</param>
    /// <param name="clear">What a further line has to explain.</param>
    /// <param name="best">The best so far.</param>
    private void AfterRest(int foot, int points, double flyback, double clear, ref Best best)
    {
        var before = Vector256.Create(flyback);
        var further = Vector256.Create(flyback - clear);
        for (int start = foot + 1; start <= points - 2; start += Lanes)
        {
            Vector256<double> explained = Vector256.Max(
                Vector256.Max(before + LeavingLevel(foot, start, points), further + LeavingLine(foot, start, points)),
                further + Level(foot, start) + At(_ramps, start)) - At(_against, start);
            uint better = Vector256.GreaterThan(explained, Vector256.Create(best.Explained)).ExtractMostSignificantBits();
            better &= (1u << Math.Min(Lanes, points - 1 - start)) - 1;
            for (; better != 0; better &= better - 1)
            {
                int lane = BitOperations.TrailingZeroCount(better);
                if (explained[lane] > best.Explained) best = new Best { Explained = explained[lane], Foot = foot, Start = start + lane };
            }
        }
    }

    /// <summary>What a level over blocks [foot, start) and a line that leaves it there explain; less than anything where it falls.</summary>
    private Vector256<double> LeavingLevel(int foot, int start, int points)
    {
        int left = MaxPoints - points + start;
        Vector256<double> n = Vector256.Create((double)(points - foot)), y = Vector256.Create(_s1[points] - _s1[foot]);
        Vector256<double> x = At(LeftX, left), xx = At(LeftXX, left), xy = At(_xy, start);
        Vector256<double> value = (y - At(_riseXY, start)) / (n - At(LeftRiseX, left));
        Vector256<double> after = (xy - (x * value)) / xx;
        return Where(Vector256.GreaterThan(after, default), (value * y) + (after * xy));
    }

    /// <summary>What a line over blocks [foot, start) and one that leaves it there explain; less than anything where the ramp falls or is not clearly steeper.</summary>
    private Vector256<double> LeavingLine(int foot, int start, int points)
    {
        int left = MaxPoints - points + start, m = start - foot;
        Vector256<double> n = Vector256.Create((double)(points - foot)), y = Vector256.Create(_s1[points] - _s1[foot]);
        Vector256<double> x = At(LeftX, left), xx = At(LeftXX, left), xy = At(_xy, start);
        // Time runs back from the start: its sum is negative.
        Vector256<double> place = Vector256.Create(start - 0.5) + Vector256.ConvertToDouble(Vector256<long>.Indices);
        Vector256<double> xyb = At(_sx, start) - Vector256.Create(_sx[foot]) - (place * (At(_s1, start) - Vector256.Create(_s1[foot])));
        Vector256<double> value = (y + (At(Rise, m) * xyb) - At(_riseXY, start)) / (n - At(RiseX, m) - At(LeftRiseX, left));
        Vector256<double> after = (xy - (x * value)) / xx, before = (xyb + (At(X, m) * value)) / At(XX, m);
        Vector256<double> taken = Vector256.GreaterThan(after, default) & Vector256.LessThanOrEqual(before, Vector256.Create(MostDrift) * after);
        // One block has no slope.
        if (m == 1) taken &= Vector256.Create(0L, -1, -1, -1).AsDouble();
        return Where(taken, (value * y) + (before * xyb) + (after * xy));
    }

    /// <summary>What a level over blocks [foot, start) explains.</summary>
    private Vector256<double> Level(int foot, int start)
    {
        Vector256<double> sum = At(_s1, start) - Vector256.Create(_s1[foot]);
        return sum * sum / (Vector256.Create((double)(start - foot)) + Vector256.ConvertToDouble(Vector256<long>.Indices));
    }

    private static Vector256<double> Where(Vector256<double> taken, Vector256<double> value) =>
        Vector256.ConditionalSelect(taken, value, Vector256.Create(double.NegativeInfinity));

    private static Vector256<double> At(double[] values, int place) => Vector256.Create(values, place);
}
