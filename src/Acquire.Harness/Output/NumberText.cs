using System.Buffers.Text;
using System.Globalization;

namespace Acquire.Harness.Output;

/// <summary>Numbers as UTF-8 text; of a double the shortest that reads back to the same.</summary>
internal static class NumberText
{
    /// <summary>Bytes that the longest text takes.</summary>
    public const int MostBytes = 32;

    // Values with up to six decimals are whole numbers of millionths: sums of codes over 2^a 5^b scans. Of these decimals, which have at most 15 digits,
    // no two read back to the same double (15 is a double's DBL_DIG, C17 5.2.4.2.2), so one that reads back to the value is its shortest.
    private const int Decimals = 6;
    private const double Millionths = 1e6, MostOfMillionths = 1e9;

    // Below it the platform writes an exponent.
    private const double LeastPlain = 1e-4;

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
        double size = Math.Abs(value), scaled = Math.Round(size * Millionths);
        if (size is >= LeastPlain and < MostOfMillionths && scaled / Millionths == size) return WriteMillionths(text, value < 0, (long)scaled);
        value.TryFormat(text, out int bytes, "R", CultureInfo.InvariantCulture);
        return bytes;
    }

    private static int WriteMillionths(Span<byte> text, bool negative, long millionths)
    {
        int at = 0;
        if (negative) text[at++] = (byte)'-';
        (long whole, long part) = Math.DivRem(millionths, (long)Millionths);
        at += Write(text[at..], whole);
        if (part == 0) return at;
        text[at++] = (byte)'.';
        int end = at + Decimals;
        for (int i = end - 1; i >= at; i--)
        {
            (part, long digit) = Math.DivRem(part, 10);
            text[i] = (byte)('0' + digit);
        }

        while (text[end - 1] == '0') end--;
        return end;
    }
}
