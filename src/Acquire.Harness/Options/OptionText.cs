using System.Globalization;
using Acquire.Harness.Shell;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Harness.Options;

/// <summary>Reads the values of options; every refusal names the option, the value and the form wanted.</summary>
internal static class OptionText
{
    /// <summary>A whole number.</summary>
    public static int Whole(string option, string text, int least, int most)
    {
        if (long.TryParse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out long value) && value >= least && value <= most)
            return (int)value;
        throw CommandFailure.Usage(option, $"'{text}' is not a whole number from {least} to {most}; give one");
    }

    /// <summary>A whole number that counts scans or sweeps in a recording.</summary>
    public static long Index(string option, string text)
    {
        if (long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out long value)) return value;
        throw CommandFailure.Usage(option, $"'{text}' is not a whole number of 0 or more; give one");
    }

    /// <summary>A finite number.</summary>
    public static double Number(string option, string text, double least, double most)
    {
        if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) && value >= least && value <= most)
            return value;
        throw CommandFailure.Usage(option, $"'{text}' is not a number from {least} to {most}; give one");
    }

    /// <summary>Volts at code 0 and at full code.</summary>
    public static CodeVolts Volts(string option, string text)
    {
        (decimal zero, decimal full) = Pair(option, text, "two voltages, at code 0 and at full code, such as -5.5,5.5");
        if (zero == full)
            throw CommandFailure.Usage(option, $"'{text}' gives code 0 and full code the same voltage; give two different ones");
        return new CodeVolts(zero, full);
    }

    /// <summary>Edges of the screen, or null for "auto".</summary>
    public static SweepEdges? Edges(string option, string text)
    {
        if (text is "auto") return null;
        (decimal low, decimal high) = Pair(option, text, "auto, or two voltages, low first, such as -5,5");
        if (low >= high)
            throw CommandFailure.Usage(option, $"'{text}' has its first edge not below its second; give LOW,HIGH with LOW below HIGH");
        return new SweepEdges(low, high);
    }

    /// <summary>Values at the start and at the end of the sweep.</summary>
    public static SweepAxis Axis(string option, string text)
    {
        const string form = "two frequencies or two times, at the start and at the end of the sweep, such as 5kHz,55kHz";
        string[] parts = text.Split(',');
        if (parts.Length != 2 || !TryQuantity(parts[0], out decimal start, out string unit) || !TryQuantity(parts[1], out decimal end, out string endUnit))
            throw CommandFailure.Usage(option, $"'{text}' is not {form}");
        if (!string.Equals(unit, endUnit, StringComparison.Ordinal) || unit is not ("Hz" or "s"))
            throw CommandFailure.Usage(option, $"'{text}' needs the unit Hz (or kHz, MHz, GHz) or s (or ms, us) on both values, such as 5kHz,55kHz");
        if (start == end) throw CommandFailure.Usage(option, $"'{text}' starts where it ends; give two different values");
        return new SweepAxis((double)start, (double)end, unit);
    }

    /// <summary>Pairs of volts and levels.</summary>
    public static (IReadOnlyList<LevelPoint> Points, string Unit) Level(string option, string text)
    {
        const string form = "pairs of volts and level such as 0V=-100dB,-1V=0dB";
        List<LevelPoint> points = [];
        string? unit = null;
        foreach (string part in text.Split(','))
        {
            string[] sides = part.Split('=');
            if (sides.Length != 2 || !TryQuantity(sides[0], out decimal volts, out string voltUnit) || voltUnit is not "V"
                || !TryQuantity(sides[1], out decimal level, out string levelUnit) || !levelUnit.StartsWith("dB", StringComparison.Ordinal))
            {
                throw CommandFailure.Usage(option, $"'{text}' is not {form}");
            }

            if (unit is not null && !string.Equals(unit, levelUnit, StringComparison.Ordinal))
                throw CommandFailure.Usage(option, $"'{text}' mixes {unit} and {levelUnit}; give every level in one unit");
            unit = levelUnit;
            points.Add(new LevelPoint(volts, level));
        }

        return (points, unit!);
    }

    /// <summary>A time of 0 or more.</summary>
    public static double Seconds(string option, string text)
    {
        if (TryQuantity(text, out decimal value, out string unit) && unit is "s" && value >= 0) return (double)value;
        throw CommandFailure.Usage(option, $"'{text}' is not a time of 0 or more with its unit, such as 0.8ms");
    }

    /// <summary>A word that is not in the list.</summary>
    public static CommandFailure NotOneOf(string option, string text, string words) =>
        CommandFailure.Usage(option, $"'{text}' is none of {words}; give one of them");

    private static (decimal First, decimal Second) Pair(string option, string text, string form)
    {
        string[] parts = text.Split(',');
        if (parts.Length == 2 && TryVolts(parts[0], out decimal first) && TryVolts(parts[1], out decimal second)) return (first, second);
        throw CommandFailure.Usage(option, $"'{text}' is not {form}");
    }

    private static bool TryVolts(string text, out decimal volts) =>
        decimal.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out volts)
        || (TryQuantity(text, out volts, out string unit) && unit is "V");

    private static bool TryQuantity(string text, out decimal value, out string unit)
    {
        text = text.Trim();
        int end = text.Length;
        while (end > 0 && !char.IsAsciiDigit(text[end - 1])) end--;
        unit = text[end..].Trim();
        if (!decimal.TryParse(text[..end], NumberStyles.Float, CultureInfo.InvariantCulture, out value)) return false;
        foreach (string plain in (string[])["Hz", "V", "s"])
        {
            if (unit.Length != plain.Length + 1 || !unit.EndsWith(plain, StringComparison.Ordinal)) continue;
            decimal scale = unit[0] switch { 'n' => 1e-9m, 'u' or 'µ' => 1e-6m, 'm' => 1e-3m, 'k' => 1e3m, 'M' => 1e6m, 'G' => 1e9m, _ => 0 };
            if (scale == 0) return false;
            value *= scale;
            unit = plain;
        }

        return true;
    }
}
