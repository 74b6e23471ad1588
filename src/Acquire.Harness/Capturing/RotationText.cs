using System.Globalization;
using Acquire.Harness.Shell;
using Acquire.Sources.Recording;

namespace Acquire.Harness.Capturing;

/// <summary>Reads what <c>--rotate</c> says: a size or a time.</summary>
internal static class RotationText
{
    private static readonly (string Unit, double Bytes)[] Sizes =
        [("KiB", 1L << 10), ("MiB", 1L << 20), ("GiB", 1L << 30), ("TiB", 1L << 40), ("kB", 1e3), ("MB", 1e6), ("GB", 1e9), ("TB", 1e12), ("B", 1)];

    // Less, and the folder fills with recordings of a few scans.
    private const double LeastBytes = 16e3, LeastSeconds = 1;

    private static readonly (string Unit, double Seconds)[] Times = [("min", 60), ("ms", 1e-3), ("s", 1), ("h", 3_600), ("d", 86_400)];

    /// <summary>Reads a size or a time.</summary>
    /// <param name="option">Name of the option, for messages.</param>
    /// <param name="text">Such as 1GiB or 10min.</param>
    public static CaptureRotation Read(string option, string text)
    {
        foreach ((string unit, double bytes) in Sizes)
            if (Value(text, unit, bytes) is { } size and < 9e18) return size >= LeastBytes ? new CaptureRotation { MostBytes = (long)size } : throw TooLittle(option, text);
        foreach ((string unit, double seconds) in Times)
            if (Value(text, unit, seconds) is { } time and < 1e9) return time >= LeastSeconds ? new CaptureRotation { MostTime = TimeSpan.FromSeconds(time) } : throw TooLittle(option, text);
        throw CommandFailure.Usage(option, $"'{text}' is no size or time; give one with its unit, such as 1GiB, 500MB, 10min or 1h");
    }

    private static CommandFailure TooLittle(string option, string text) =>
        CommandFailure.Usage(option, $"'{text}' would fill the folder with recordings of a few scans each; give 16 kB or more, or 1 s or more");

    private static double? Value(string text, string unit, double factor) =>
        text.EndsWith(unit, StringComparison.Ordinal)
        && double.TryParse(text.AsSpan(0, text.Length - unit.Length).TrimEnd(), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out double value)
            ? value * factor : null;
}
