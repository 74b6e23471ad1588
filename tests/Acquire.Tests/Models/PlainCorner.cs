using Acquire.Sweeps;

namespace Acquire.Tests.Models;

/// <summary>A corner by trying every place: the sum of squared deviations from two free lines, none left out.</summary>
internal static class PlainCorner
{
    private const int MostPoints = 256;

    public static long Find(RampHistory history, long from, long to, double sigma)
    {
        long n = to - from;
        if (n < 4) return from;
        long block = Math.Max(1, (n + MostPoints - 1) / MostPoints);
        int points = (int)(n / block);
        long origin = to - (points * block);
        double[] sums = new double[points + 1], moments = new double[points + 1], squares = new double[points + 1];
        for (int j = 0; j < points; j++)
        {
            double y = history.Mean(origin + (j * block), origin + ((j + 1) * block)) - history[origin];
            sums[j + 1] = sums[j] + y;
            moments[j + 1] = moments[j] + (j * y);
            squares[j + 1] = squares[j] + (y * y);
        }

        double one = Deviation(0, points), least = one;
        int best = 0;
        for (int split = 2; split <= points - 2; split++)
        {
            double two = Deviation(0, split) + Deviation(split, points);
            if (two < least) (least, best) = (two, split);
        }

        double variance = Math.Max(sigma * sigma / block, 0.01);
        if (best == 0 || one - least < 25 * variance) return from;
        return Math.Clamp(origin + (best * block), from, to - 1);

        double Deviation(int first, int end)
        {
            double m = end - first, s1 = sums[end] - sums[first];
            if (m < 3) return 0;
            double total = squares[end] - squares[first] - (s1 * s1 / m), sx = moments[end] - moments[first] - (first * s1);
            double slope = ((2 * sx) - ((m - 1) * s1)) * 6 / (m * ((m * m) - 1));
            return Math.Max(0, total - (slope * slope * m * ((m * m) - 1) / 12));
        }
    }
}
