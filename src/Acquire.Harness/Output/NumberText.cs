using System.Buffers.Binary;
using System.Buffers.Text;
using System.Globalization;
using System.Numerics;
using System.Runtime.Intrinsics;

namespace Acquire.Harness.Output;

/// <summary>Numbers as UTF-8 text; of a double the shortest that reads back to the same.</summary>
internal static class NumberText
{
    /// <summary>Bytes that the longest text takes, and those behind it that may change.</summary>
    public const int MostBytes = 32;

    private const ulong EightDigits = 100_000_000;
    private const int BytesAtOnce = sizeof(ulong);

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
    /// <param name="text">Has room for <see cref="MostBytes"/>; what lies after the text changes too.</param>
    /// <param name="value">Finite.</param>
    /// <returns>Bytes written.</returns>
    public static int Write(Span<byte> text, double value)
    {
        double size = Math.Abs(value);
        if (size is >= ShortestDecimal.Least and < ShortestDecimal.End) return WritePlain(text, value < 0, size);
        value.TryFormat(text, out int bytes, "R", CultureInfo.InvariantCulture);
        return bytes;
    }

    private static int WritePlain(Span<byte> text, bool negative, double size)
    {
        ulong digits = ShortestDecimal.Of(size, out int decimals);
        int at = 0, wholeDigits = ShortestDecimal.Digits - decimals;
        if (negative) text[at++] = (byte)'-';
        if (wholeDigits <= 0)
        {
            "0.00"u8.CopyTo(text[at..]);
            at += 2 - wholeDigits;
            return at + WriteDigits(text[at..], digits);
        }

        int count = WriteDigits(text[at..], digits);
        at += wholeDigits;
        if (count <= wholeDigits) return at;

        // All that can stand behind the point is moved at once.
        Span<byte> behind = text[at..];
        Vector128.Create<byte>(behind).CopyTo(behind[1..]);
        behind[0] = (byte)'.';
        return at + 1 + count - wholeDigits;
    }

    // Gives their number without the zeros at the end, which are written too.
    private static int WriteDigits(Span<byte> text, ulong digits)
    {
        (ulong first, ulong rest) = Math.DivRem(digits, EightDigits * EightDigits);
        (ulong high, ulong low) = Math.DivRem(rest, EightDigits);
        ulong highBytes = BytesOf((uint)high), lowBytes = BytesOf((uint)low);
        const ulong zeros = 0x3030_3030_3030_3030;
        text[0] = (byte)('0' + first);
        BinaryPrimitives.WriteUInt64LittleEndian(text[1..], highBytes | zeros);
        BinaryPrimitives.WriteUInt64LittleEndian(text[(1 + BytesAtOnce)..], lowBytes | zeros);
        return lowBytes != 0 ? 1 + BytesAtOnce + UsedBytes(lowBytes) : 1 + UsedBytes(highBytes);
    }

    // Eight digits, one to a byte, the first lowest. Halves are parted three times: each time there are twice as many numbers of half as many digits.
    private static ulong BytesOf(uint digits)
    {
        ulong fours = (digits / 10_000) | ((ulong)(digits % 10_000) << 32);

        // n / 100 is n * 5243 >> 19 up to 9,999, and n / 10 is n * 103 >> 10 up to 99; no product reaches its neighbour.
        ulong hundreds = ((fours * 5_243) >> 19) & 0x0000_007F_0000_007F;
        ulong twos = hundreds | ((fours - (hundreds * 100)) << 16);
        ulong tens = ((twos * 103) >> 10) & 0x000F_000F_000F_000F;
        return tens | ((twos - (tens * 10)) << 8);
    }

    private static int UsedBytes(ulong bytes) => BytesAtOnce - (BitOperations.LeadingZeroCount(bytes) / 8);
}
