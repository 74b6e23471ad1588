using System.Buffers.Text;
using System.Globalization;
using System.Numerics;

namespace Acquire.Harness.Output;

/// <summary>Numbers as text: the shortest that reads back to the same double, exactly as the platform writes it, only sooner.</summary>
/// <remarks>
/// Among the shortest decimals within half a step of a double the nearest is taken, after R. Giulietti, The Schubfach way to render doubles, 2020
/// (from memory). Where that needs more than 128 bits, is a tie, or has an exponent, the platform does it.
/// </remarks>
internal static class NumberText
{
    /// <summary>Bytes that the longest text takes.</summary>
    public const int MostBytes = 32;

    // 10^15 and above have an exponent, and so has what is below 10^-4; 2^-10 is the power of two above.
    private const double FirstWithExponent = 1e15, LeastPlain = 1.0 / 1_024;
    private const int MantissaBits = 52, ExponentBias = 1_075;
    private const ulong ImpliedBit = 1UL << MantissaBits;

    // 10^0 to 10^19: all that fit 64 bits.
    private static readonly ulong[] PowersOfTen = [.. Enumerable.Range(0, 20).Select(power => (ulong)BigInteger.Pow(10, power))];

    /// <summary>Writes a whole number.</summary>
    /// <param name="text">Has room for <see cref="MostBytes"/>.</param>
    /// <param name="value">Value.</param>
    /// <returns>Bytes written.</returns>
    public static int Write(Span<byte> text, long value)
    {
        Utf8Formatter.TryFormat(value, text, out int bytes);
        return bytes;
    }

    /// <summary>Writes a number.</summary>
    /// <param name="text">Has room for <see cref="MostBytes"/>.</param>
    /// <param name="value">Finite.</param>
    /// <returns>Bytes written.</returns>
    public static int Write(Span<byte> text, double value)
    {
        double size = Math.Abs(value);
        if (size < FirstWithExponent)
        {
            // Minus zero is no whole number that shows its sign.
            if (value == (long)value && BitConverter.DoubleToInt64Bits(value) != long.MinValue) return Write(text, (long)value);
            if (size >= LeastPlain && TryShortest(size, out ulong digits, out int places)) return WriteDecimal(text, value < 0, digits, places);
        }

        value.TryFormat(text, out int bytes, "R", CultureInfo.InvariantCulture);
        return bytes;
    }

    // value = digits / 10^places, from 2^-10 on and below 10^15, not whole.
    private static bool TryShortest(double value, out ulong digits, out int places)
    {
        long bits = BitConverter.DoubleToInt64Bits(value);
        ulong c = ((ulong)bits & (ImpliedBit - 1)) | ImpliedBit;
        int shift = ExponentBias - (int)(bits >> MantissaBits);

        // The first place that is worth less than a step between doubles: floor(-shift log10 2), negated; 315653 / 2^20 is log10 2 to six places.
        places = (int)(((shift * 315_653L) + (1 << 20) - 1) >> 20);
        digits = 0;

        // Below a power of two the steps are half as wide as above.
        if (c == ImpliedBit) return false;
        ulong power = PowersOfTen[places];
        ulong middle = Scaled(c << 2, power, shift), low = Scaled((c << 2) - 2, power, shift), high = Scaled((c << 2) + 2, power, shift);

        // Ends count only for an even mantissa, as reading rounds to even. All three are four times what they stand for.
        ulong odd = c & 1, down = middle >> 2, tenDown = down / 10 * 10, tenUp = tenDown + 10;
        bool tenDownIn = low + odd <= tenDown << 2, tenUpIn = (tenUp << 2) + odd <= high;
        if (tenDownIn != tenUpIn)
        {
            digits = tenDownIn ? tenDown : tenUp;
            return true;
        }

        ulong up = down + 1;
        bool downIn = low + odd <= down << 2, upIn = (up << 2) + odd <= high;
        long nearer = (long)(middle - ((down + up) << 1));
        digits = downIn != upIn ? downIn ? down : up : nearer < 0 ? down : up;
        return downIn != upIn || nearer != 0;
    }

    // Value times power over 2^shift, the last bit set where something was cut off: no comparison with a whole number is changed by that.
    private static ulong Scaled(ulong value, ulong power, int shift)
    {
        UInt128 product = Math.BigMul(value, power);
        UInt128 cut = product & ((UInt128.One << shift) - 1);
        return (ulong)(product >> shift) | (cut == 0 ? 0UL : 1UL);
    }

    private static int WriteDecimal(Span<byte> text, bool negative, ulong digits, int places)
    {
        int at = 0;
        if (negative) text[at++] = (byte)'-';
        (ulong whole, ulong part) = Math.DivRem(digits, PowersOfTen[places]);
        at += Write(text[at..], (long)whole);
        if (part == 0) return at;
        text[at++] = (byte)'.';
        int end = at + places, i = end;
        for (; i - at > 1; i -= 2)
        {
            (part, ulong pair) = Math.DivRem(part, 100);
            (ulong tens, ulong ones) = Math.DivRem(pair, 10);
            text[i - 1] = (byte)('0' + ones);
            text[i - 2] = (byte)('0' + tens);
        }

        if (i > at) text[at] = (byte)('0' + part);
        while (text[end - 1] == '0') end--;
        return end;
    }
}
