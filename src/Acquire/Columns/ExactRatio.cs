using System.Numerics;

namespace Acquire.Columns;

/// <summary>Ratios of whole numbers, for decisions that must not depend on rounding.</summary>
internal static class ExactRatio
{
    /// <summary>The whole number value x 10^digits.</summary>
    /// <param name="value">A decimal fraction.</param>
    /// <param name="digits">Digits after the point to keep, at least as many as the value has.</param>
    public static BigInteger Scaled(decimal value, int digits)
    {
        Span<int> parts = stackalloc int[4];
        decimal.GetBits(value, parts);
        BigInteger magnitude = ((BigInteger)(uint)parts[2] << 64) | ((BigInteger)(uint)parts[1] << 32) | (uint)parts[0];
        return (decimal.IsNegative(value) ? -magnitude : magnitude) * BigInteger.Pow(10, digits - value.Scale);
    }

    /// <summary>Quotient rounded down and the remainder, which is 0 to divisor - 1.</summary>
    /// <param name="value">Any value.</param>
    /// <param name="divisor">Positive.</param>
    public static (T Quotient, T Remainder) FloorDivRem<T>(T value, T divisor)
        where T : IBinaryInteger<T>
    {
        (T quotient, T remainder) = T.DivRem(value, divisor);
        return T.IsNegative(remainder) ? (quotient - T.One, remainder + divisor) : (quotient, remainder);
    }

    /// <summary>Quotient rounded to the nearest whole number, halves up.</summary>
    /// <param name="value">Any value whose quotient fits 64 bits.</param>
    /// <param name="divisor">Positive.</param>
    public static long Round<T>(T value, T divisor)
        where T : IBinaryInteger<T>
    {
        (T quotient, T remainder) = FloorDivRem(value, divisor);
        return long.CreateChecked(remainder + remainder >= divisor ? quotient + T.One : quotient);
    }
}
