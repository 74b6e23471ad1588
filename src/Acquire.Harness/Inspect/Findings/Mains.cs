namespace Acquire.Harness.Inspect.Findings;

/// <summary>The two mains frequencies of the world and their low multiples.</summary>
internal static class Mains
{
    /// <summary>The slower one.</summary>
    public const double LowestHertz = 50;

    // Public grids keep within 1 % (common practice); a local generator does not always, and a short stretch is not exact either.
    private const double Tolerance = 0.015;
    private const int HighestMultiple = 4;

    /// <summary>Mains frequency that a frequency is a low multiple of, in hertz; null for none.</summary>
    /// <param name="hertz">Frequency.</param>
    /// <param name="uncertainty">By how much it may be off for how it was found, in hertz.</param>
    /// <returns>50 or 60, and the multiple.</returns>
    public static (double Hertz, int Multiple)? Of(double hertz, double uncertainty = 0)
    {
        foreach (double mains in (ReadOnlySpan<double>)[LowestHertz, 60])
        {
            int multiple = (int)Math.Round(hertz / mains);
            if (multiple is >= 1 and <= HighestMultiple && Math.Abs(hertz - (multiple * mains)) <= (Tolerance * hertz) + uncertainty) return (mains, multiple);
        }

        return null;
    }
}
