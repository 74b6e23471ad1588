using System.Buffers.Text;
using System.Globalization;

namespace Acquire.Harness.Output;

/// <summary>Numbers as UTF-8 text; of a double the shortest that reads back to the same.</summary>
internal static class NumberText
{
    /// <summary>Bytes that the longest text takes.</summary>
    public const int MostBytes = 32;

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
        value.TryFormat(text, out int bytes, "R", CultureInfo.InvariantCulture);
        return bytes;
    }
}
