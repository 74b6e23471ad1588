namespace Acquire.Harness.Inspect.Spectra;

/// <summary>The slow course of a stretch: the cubic that fits best, by way of polynomials orthogonal over its points.</summary>
internal static class CubicCourse
{
    /// <summary>Takes the course out.</summary>
    /// <param name="values">Values in; what is left of them out.</param>
    /// <returns>Slope at the start and at the end, in value per point.</returns>
    public static (double StartSlope, double EndSlope) Remove(Span<double> values)
    {
        int n = values.Length;
        if (n < 8) throw new ArgumentException($"The stretch has {n} points; a course needs at least 8.", nameof(values));
        // Position x runs from -1 to 1; p2 = x^2 - m2 and p3 = x^3 - (m4/m2) x are orthogonal to 1 and x on symmetric points.
        double m2 = 0, m4 = 0;
        for (int i = 0; i < n; i++)
        {
            double x = PositionOf(i, n), xx = x * x;
            m2 += xx;
            m4 += xx * xx;
        }

        m2 /= n;
        m4 /= n;
        double skew = m4 / m2;
        double c0 = 0, c1 = 0, c2 = 0, c3 = 0, s1 = 0, s2 = 0, s3 = 0;
        for (int i = 0; i < n; i++)
        {
            double x = PositionOf(i, n), p2 = (x * x) - m2, p3 = ((x * x) - skew) * x, v = values[i];
            c0 += v;
            c1 += v * x;
            c2 += v * p2;
            c3 += v * p3;
            s1 += x * x;
            s2 += p2 * p2;
            s3 += p3 * p3;
        }

        c0 /= n;
        c1 /= s1;
        c2 /= s2;
        c3 /= s3;
        for (int i = 0; i < n; i++)
        {
            double x = PositionOf(i, n);
            values[i] -= c0 + (c1 * x) + (c2 * ((x * x) - m2)) + (c3 * ((x * x) - skew) * x);
        }

        double perPoint = 2.0 / (n - 1), ends = c1 + (c3 * (3 - skew));
        return ((ends - (2 * c2)) * perPoint, (ends + (2 * c2)) * perPoint);
    }

    private static double PositionOf(int i, int n) => (2.0 * i / (n - 1)) - 1;
}
