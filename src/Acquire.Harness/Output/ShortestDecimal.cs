namespace Acquire.Harness.Output;

/// <summary>Of the decimals that read back to a double one of the shortest, and of these the closest: what the platform's "R" has for digits.</summary>
/// <remarks>
/// A double is c * 2^-s with whole c and s. Here 10^-d is at most 2^-s, the distance of neighbouring doubles, so that a whole number of 10^-d reads back to it;
/// and 10^-(d-1) is larger, so that at most one multiple of ten does, which any shorter decimal would be. In the range below c * 10^d is exact in 128 bits, and
/// what is compared in 64.
/// </remarks>
internal static class ShortestDecimal
{
    /// <summary>Significant digits, with zeros at their end.</summary>
    public const int Digits = 17;

    /// <summary>The least value.</summary>
    public const double Least = 1.0 / (1 << 8);

    /// <summary>What every value is below.</summary>
    public const double End = 1 << 30;

    private const int FractionBits = 52, ExponentBias = 1_023;
    private const ulong SixteenDigits = 10_000_000_000_000_000;

    // By the exponent of two, from that of the least value on.
    private static readonly int LeastExponent = Math.ILogB(Least);
    private static readonly int[] Decimals = [.. Enumerable.Range(0, Math.ILogB(End) - LeastExponent).Select(DecimalsOf)];
    private static readonly ulong[] Powers = [.. Decimals.Select(PowerOfTen)];

    /// <summary>Finds the decimal.</summary>
    /// <param name="value">From <see cref="Least"/> up to <see cref="End"/>.</param>
    /// <param name="decimals">How many of its <see cref="Digits"/> stand behind the point; more than all of them below 0.1.</param>
    /// <returns>Its digits as a whole number.</returns>
    public static ulong Of(double value, out int decimals)
    {
        ulong bits = BitConverter.DoubleToUInt64Bits(value);
        int exponent = (int)(bits >> FractionBits) - ExponentBias, shift = FractionBits - exponent;
        ulong c = (bits & ((1UL << FractionBits) - 1)) | (1UL << FractionBits);
        decimals = Decimals[exponent - LeastExponent];
        ulong power = Powers[exponent - LeastExponent];

        ulong high = Math.BigMul(c, power, out ulong low);
        ulong whole = (high << (64 - shift)) | (low >> shift), part = low & ((1UL << shift) - 1);

        // Whatever is at most half the way to a neighbour away reads back to the value; at just half of it only to an even c (IEEE 754, ties to even).
        // A power of two has a neighbour below it at half the distance, but in this range so few digits that it is itself the multiple of ten.
        ulong reach = (power / 2) - (c & 1), units = whole % 10, ten = 10UL << shift;
        ulong above = (units << shift) + part;
        if (above <= reach) whole -= units;
        else if (ten - above <= reach) whole += 10 - units;
        else whole += RoundsUp(whole, part, 1UL << (shift - 1)) ? 1UL : 0;

        if (whole >= SixteenDigits) return whole;
        decimals++;
        return whole * 10;
    }

    private static bool RoundsUp(ulong whole, ulong part, ulong half) => part > half || (part == half && (whole & 1) == 1);

    // The fewest of which one is at most the distance of neighbours.
    private static int DecimalsOf(int index)
    {
        int decimals = 0;
        while (PowerOfTen(decimals) < 1UL << (FractionBits - LeastExponent - index)) decimals++;
        return decimals;
    }

    private static ulong PowerOfTen(int exponent)
    {
        ulong power = 1;
        for (int i = 0; i < exponent; i++) power *= 10;
        return power;
    }
}
