namespace Acquire.Harness.Inspect.Spectra;

/// <summary>The ramp's course in one sweep: a cubic.</summary>
/// <param name="coefficients">Codes that each of the first four Legendre polynomials adds, over the sweep from -1 to 1.</param>
/// <param name="scans">Scans of the sweep.</param>
internal readonly struct SweepCourse(ReadOnlySpan<double> coefficients, long scans)
{
    private readonly double _c0 = coefficients[0], _c1 = coefficients[1], _c2 = coefficients[2], _c3 = coefficients[3];
    private readonly double _perScan = PerScan(scans);

    /// <summary>Ramp code that the course has at a scan.</summary>
    /// <param name="offset">Scans of the sweep before it.</param>
    public double CodeAt(long offset)
    {
        double x = (offset * _perScan) - 1;
        return _c0 + (_c1 * x) + (_c2 * Second(x)) + (_c3 * Third(x));
    }

    /// <summary>Way from one scan to the next, where a sweep goes from -1 to 1.</summary>
    public static double PerScan(long scans) => 2.0 / Math.Max(1, scans - 1);

    /// <summary>Legendre polynomial of degree 2.</summary>
    public static double Second(double x) => (1.5 * x * x) - 0.5;

    /// <summary>Legendre polynomial of degree 3.</summary>
    public static double Third(double x) => ((2.5 * x * x) - 1.5) * x;
}
