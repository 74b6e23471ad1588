using System.Globalization;
using Acquire.Columns;
using Acquire.Harness.Shell;
using Acquire.Recordings;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Harness.Options;

/// <summary>Reads the values of options; every refusal names the option, the value and the form wanted.</summary>
internal static class OptionText
{
    // In use with the SI (SI Brochure, table 8), and without prefixes.
    private static readonly (string Unit, int Seconds)[] LongTimes = [("min", 60), ("h", 3_600)];

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
        throw CommandFailure.Usage(option, $"'{text}' is not a number from {(decimal)least} to {(decimal)most}; give one");
    }

    /// <summary>Volts at code 0 and at full code.</summary>
    public static CodeVolts Volts(string option, string text)
    {
        (decimal zero, decimal full) = VoltPair(option, text, "two voltages, at code 0 and at full code, such as -5.5,5.5");
        if (zero == full)
            throw CommandFailure.Usage(option, $"'{text}' gives code 0 and full code the same voltage; give two different ones");
        return new CodeVolts(zero, full);
    }

    /// <summary>Edges of the screen, or null for "auto".</summary>
    public static SweepEdges? Edges(string option, string text)
    {
        if (text is "auto") return null;
        (decimal low, decimal high) = VoltPair(option, text, "auto, or two voltages, low first, such as -5,5");
        if (low >= high)
            throw CommandFailure.Usage(option, $"'{text}' has its first edge not below its second; give LOW,HIGH with LOW below HIGH");
        return new SweepEdges(low, high);
    }

    /// <summary>Values at the start and at the end of the sweep.</summary>
    public static SweepAxis Axis(string option, string text)
    {
        string[] parts = text.Split(',');
        if (parts.Length != 2)
            throw CommandFailure.Usage(option, $"'{text}' is not two frequencies or two times, at the start and at the end of the sweep, such as 5kHz,55kHz");
        Quantity start = Read(option, parts[0]), end = Read(option, parts[1]);
        if (!string.Equals(start.Unit, end.Unit, StringComparison.Ordinal) || start.Unit is not ("Hz" or "s"))
            throw CommandFailure.Usage(option, $"'{text}' needs the unit Hz or s, with or without a prefix, on both values, such as 5kHz,55kHz");
        if (start.Value == end.Value) throw CommandFailure.Usage(option, $"'{text}' starts where it ends; give two different values");
        return new SweepAxis((double)start.Value, (double)end.Value, start.Unit);
    }

    /// <summary>Pairs of volts and levels.</summary>
    public static (IReadOnlyList<LevelPoint> Points, string Unit) Level(string option, string text)
    {
        List<LevelPoint> points = [];
        string unit = "";
        foreach (string part in text.Split(','))
        {
            string[] sides = part.Split('=');
            Quantity level = sides.Length == 2 ? Read(option, sides[1]) : default;
            if (sides.Length != 2 || level.Unit?.StartsWith("dB", StringComparison.Ordinal) != true)
                throw CommandFailure.Usage(option, $"'{text}' is not pairs of volts and level with their units, such as 0V=-100dB,-1V=0dB");
            if (points.Count > 0 && !string.Equals(unit, level.Unit, StringComparison.Ordinal))
                throw CommandFailure.Usage(option, $"'{text}' mixes {unit} and {level.Unit}; give every level in one unit");
            unit = level.Unit;
            points.Add(new LevelPoint(In(option, sides[0], "V"), level.Value));
        }

        return (points, unit);
    }

    /// <summary>A time of 0 or more.</summary>
    public static double Seconds(string option, string text)
    {
        foreach ((string unit, int seconds) in LongTimes)
        {
            if (text.EndsWith(unit, StringComparison.Ordinal) && decimal.TryParse(text.AsSpan(0, text.Length - unit.Length).Trim(), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out decimal count))
                return (double)count * seconds;
        }

        Quantity time = Read(option, text);
        if (time.Unit is "s" && time.Value >= 0) return (double)time.Value;
        throw CommandFailure.Usage(option, $"'{text}' is not a time of 0 or more with its unit, such as 0.8ms");
    }

    /// <summary>A time above 0.</summary>
    public static double SecondsAbove0(string option, string text) =>
        Seconds(option, text) is > 0 and var seconds ? seconds : throw CommandFailure.Usage(option, $"'{text}' is no time above 0; give one, such as 0.4s");

    /// <summary>A difference of levels; "dB" may stand behind it.</summary>
    public static double Decibels(string option, string text) => (double)In(option, text, "dB");

    /// <summary>A number without a unit.</summary>
    public static bool IsBareNumber(string text) => Quantity.TryParse(text, out Quantity number, out _) && number.Unit.Length == 0;

    /// <summary>A level with its unit, such as -95dB or -95 dBm.</summary>
    public static bool TryLevel(string text, out double levelDb)
    {
        bool isLevel = Quantity.TryParse(text, out Quantity level, out _) && level.Unit.StartsWith("dB", StringComparison.Ordinal);
        levelDb = isLevel ? (double)level.Value : 0;
        return isLevel;
    }

    /// <summary>A quantity in one unit; a number alone is taken to be in it.</summary>
    public static decimal In(string option, string text, string unit) =>
        Quantity.TryParse(text, unit, out decimal value, out string? problem) ? value : throw CommandFailure.Usage(option, problem);

    /// <summary>A detector, with the domain of an average where one is named.</summary>
    public static (Detector Detector, AveragingDomain? Domain) Detector(string option, string text) => text switch
    {
        "peak" => (Columns.Detector.Peak, null),
        "minimum" => (Columns.Detector.Minimum, null),
        "average" => (Columns.Detector.Average, null),
        "average-level" => (Columns.Detector.Average, AveragingDomain.Level),
        "average-voltage" => (Columns.Detector.Average, AveragingDomain.Voltage),
        "average-power" => (Columns.Detector.Average, AveragingDomain.Power),
        "rms" => (Columns.Detector.Rms, null),
        "sample" => (Columns.Detector.Sample, null),
        _ => throw NotOneOf(option, text, "peak, minimum, average, average-level, average-voltage, average-power, rms or sample"),
    };

    /// <summary>A word that is not in the list.</summary>
    public static CommandFailure NotOneOf(string option, string text, string words) =>
        CommandFailure.Usage(option, $"'{text}' is none of {words}; give one of them");

    private static (decimal First, decimal Second) VoltPair(string option, string text, string form)
    {
        string[] parts = text.Split(',');
        if (parts.Length != 2) throw CommandFailure.Usage(option, $"'{text}' is not {form}");
        return (In(option, parts[0], "V"), In(option, parts[1], "V"));
    }

    private static Quantity Read(string option, string text) =>
        Quantity.TryParse(text, out Quantity quantity, out string? problem) ? quantity : throw CommandFailure.Usage(option, problem);
}
