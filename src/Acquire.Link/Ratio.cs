namespace Acquire.Link;

/// <summary>A rate as a ratio of two 32-bit numbers, the way a device divides its clock.</summary>
internal static class Ratio
{
    /// <summary>The ratio nearest to a rate, by continued fractions.</summary>
    /// <param name="rate">Positive and finite, or null, which gives 0 / 1.</param>
    public static (uint Numerator, uint Denominator) Of(double? rate)
    {
        if (rate is not { } value) return (0, 1);
        if (value >= uint.MaxValue) return (uint.MaxValue, 1);

        ulong numeratorBefore = 0;
        ulong numerator = 1;
        ulong denominatorBefore = 1;
        ulong denominator = 0;
        double rest = value;
        for (int term = 0; term < 64; term++)
        {
            double whole = Math.Floor(rest);
            if (whole > uint.MaxValue) break;
            ulong nextNumerator = ((ulong)whole * numerator) + numeratorBefore;
            ulong nextDenominator = ((ulong)whole * denominator) + denominatorBefore;
            if (nextNumerator > uint.MaxValue || nextDenominator > uint.MaxValue) break;
            (numeratorBefore, numerator) = (numerator, nextNumerator);
            (denominatorBefore, denominator) = (denominator, nextDenominator);
            if (numerator != 0 && (double)numerator / denominator == value) break;
            double fraction = rest - whole;
            if (fraction == 0) break;
            rest = 1 / fraction;
        }

        // A rate below what 32 bits can divide is not nothing.
        return numerator == 0 ? (1, uint.MaxValue) : ((uint)numerator, (uint)denominator);
    }
}
