namespace Acquire.Sources.Synthetic;

/// <summary>Elementary functions from the four basic operations only.</summary>
/// <remarks>
/// The platform's sine, logarithm and exponential may differ in the last bit from one runtime or processor to the next, and one bit
/// can move a code. Addition, multiplication, division and square root are exact by IEEE 754, so what is built from them is the
/// same everywhere. Errors stay below 4 units in the last place for the arguments used here.
/// </remarks>
internal static class PortableMath
{
    public const double Ln10 = 2.302585092994045684;
    private const double Ln2High = 6.93147180369123816490e-01; // low 32 bits zero: k * Ln2High is exact
    private const double Ln2Low = 1.90821492927058770002e-10;

    // Written as products of rounded reciprocals: a division costs ten multiplications.
    private static readonly double[] LogTerms = [1.0 / 21, 1.0 / 19, 1.0 / 17, 1.0 / 15, 1.0 / 13, 1.0 / 11, 1.0 / 9, 1.0 / 7, 1.0 / 5, 1.0 / 3, 1];

    private static readonly double[] ExpTerms =
        [1.0 / 14, 1.0 / 13, 1.0 / 12, 1.0 / 11, 1.0 / 10, 1.0 / 9, 1.0 / 8, 1.0 / 7, 1.0 / 6, 1.0 / 5, 1.0 / 4, 1.0 / 3, 1.0 / 2, 1];

    private static readonly double[] SineTerms =
        [1.0 / 506, 1.0 / 420, 1.0 / 342, 1.0 / 272, 1.0 / 210, 1.0 / 156, 1.0 / 110, 1.0 / 72, 1.0 / 42, 1.0 / 20, 1.0 / 6];

    /// <summary>Natural logarithm; negative infinity for 0 and below.</summary>
    public static double Log(double x)
    {
        if (!(x > 0)) return double.IsNaN(x) ? x : double.NegativeInfinity;
        if (double.IsPositiveInfinity(x)) return x;
        int exponent = Math.ILogB(x);
        double m = Math.ScaleB(x, -exponent);
        if (m > 1.4142135623730951)
        {
            m *= 0.5;
            exponent++;
        }

        // log m = 2 artanh((m-1)/(m+1)); |s| <= 0.1716, so the first term left out is below 2^-57.
        double s = (m - 1) / (m + 1), s2 = s * s, sum = 0;
        foreach (double term in LogTerms) sum = (sum * s2) + term;
        return (exponent * Ln2High) + ((2 * s * sum) + (exponent * Ln2Low));
    }

    /// <summary>Decadic logarithm times ten: a power ratio in decibels.</summary>
    public static double Decibels(double powerRatio) => 10 / Ln10 * Log(powerRatio);

    /// <summary>Power ratio of a level in decibels.</summary>
    public static double PowerOf(double levelDb) => Exp(levelDb * (Ln10 / 10));

    /// <summary>e to the power x; 0 below -745, infinity above 709.</summary>
    public static double Exp(double x)
    {
        if (x < -745) return 0;
        if (x > 709.7) return double.PositiveInfinity;
        double k = Math.Round(x * 1.4426950408889634);
        double r = x - (k * Ln2High) - (k * Ln2Low), sum = 1;
        foreach (double term in ExpTerms) sum = 1 + (sum * r * term);
        return Math.ScaleB(sum, (int)k);
    }

    /// <summary>Sine of an angle in turns (1 is a full circle).</summary>
    public static double SinTurns(double turns)
    {
        double x = turns - Math.Round(turns);
        if (x > 0.25) x = 0.5 - x;
        else if (x < -0.25) x = -0.5 - x;
        double y = x * (2 * Math.PI), y2 = y * y, sum = 1;
        foreach (double term in SineTerms) sum = 1 - (sum * y2 * term);
        return y * sum;
    }

    /// <summary>Value below which a standard normal variable falls with probability <paramref name="p"/>.</summary>
    /// <remarks>Wichura, Algorithm AS 241 (PPND16), Applied Statistics 37 (1988) 477-484; relative error about 1e-16.</remarks>
    public static double NormalQuantile(double p)
    {
        double q = p - 0.5;
        if (Math.Abs(q) <= 0.425)
        {
            double c = 0.180625 - (q * q);
            return q * ((((((((((((((2.5090809287301226727e+3 * c) + 3.3430575583588128105e+4) * c) + 6.7265770927008700853e+4) * c)
                + 4.5921953931549871457e+4) * c) + 1.3731693765509461125e+4) * c) + 1.9715909503065514427e+3) * c)
                + 1.3314166789178437745e+2) * c) + 3.3871328727963666080e0)
                / ((((((((((((((5.2264952788528545610e+3 * c) + 2.8729085735721942674e+4) * c) + 3.9307895800092710610e+4) * c)
                + 2.1213794301586595867e+4) * c) + 5.3941960214247511077e+3) * c) + 6.8718700749205790830e+2) * c)
                + 4.2313330701600911252e+1) * c) + 1);
        }

        double r = Math.Sqrt(-Log(q < 0 ? p : 1 - p));
        double tail;
        if (r <= 5)
        {
            r -= 1.6;
            tail = ((((((((((((((7.74545014278341407640e-4 * r) + 2.27238449892691845833e-2) * r) + 2.41780725177450611770e-1) * r)
                + 1.27045825245236838258e0) * r) + 3.64784832476320460504e0) * r) + 5.76949722146069140550e0) * r)
                + 4.63033784615654529590e0) * r) + 1.42343711074968357734e0)
                / ((((((((((((((1.05075007164441684324e-9 * r) + 5.47593808499534494600e-4) * r) + 1.51986665636164571966e-2) * r)
                + 1.48103976427480074590e-1) * r) + 6.89767334985100004550e-1) * r) + 1.67638483018380384940e0) * r)
                + 2.05319162663775882187e0) * r) + 1);
        }
        else
        {
            r -= 5;
            tail = ((((((((((((((2.01033439929228813265e-7 * r) + 2.71155556874348757815e-5) * r) + 1.24266094738807843860e-3) * r)
                + 2.65321895265761230930e-2) * r) + 2.96560571828504891230e-1) * r) + 1.78482653991729133580e0) * r)
                + 5.46378491116411436990e0) * r) + 6.65790464350110377720e0)
                / ((((((((((((((2.04426310338993978564e-15 * r) + 1.42151175831644588870e-7) * r) + 1.84631831751005468180e-5) * r)
                + 7.86869131145613259100e-4) * r) + 1.48753612908506148525e-2) * r) + 1.36929880922735805310e-1) * r)
                + 5.99832206555887937690e-1) * r) + 1);
        }

        return q < 0 ? -tail : tail;
    }
}
