using System.Globalization;
using Acquire.Scales;

namespace Acquire.Harness.Inspect;

/// <summary>Puts quantities into words, in units where they are known and in scans and codes where they are not.</summary>
internal static class Say
{
    private static readonly CultureInfo Culture = CultureInfo.InvariantCulture;

    /// <summary>A number with a sensible count of digits.</summary>
    public static string Number(double value, int digits = 4)
    {
        if (!double.IsFinite(value)) return "unknown";
        if (value == 0) return "0";
        int before = (int)Math.Floor(Math.Log10(Math.Abs(value))) + 1;
        int decimals = Math.Clamp(digits - before, 0, 9);
        string format = decimals == 0 ? "#,0" : "#,0." + new string('#', decimals);
        return value.ToString(format, Culture);
    }

    /// <summary>A count of scans, and the time where the scan rate is known.</summary>
    public static string Scans(double scans, Setup setup) =>
        setup.Scan.ScanRateHz is { } rate ? Seconds(scans / rate) : $"{Number(scans, 7)} scans";

    /// <summary>A time.</summary>
    public static string Seconds(double seconds) => Math.Abs(seconds) switch
    {
        >= 1 or 0 => $"{Number(seconds)} s",
        >= 1e-3 => $"{Number(seconds * 1e3)} ms",
        _ => $"{Number(seconds * 1e6)} us",
    };

    /// <summary>A frequency given in cycles per scan.</summary>
    public static string Frequency(double cyclesPerScan, Setup setup) =>
        setup.Scan.ScanRateHz is { } rate ? Hertz(cyclesPerScan * rate) : $"one cycle in {Number(1 / cyclesPerScan)} scans";

    /// <summary>A frequency.</summary>
    public static string Hertz(double hertz) => Math.Abs(hertz) switch
    {
        >= 1e6 => $"{Number(hertz / 1e6)} MHz",
        >= 1e3 => $"{Number(hertz / 1e3)} kHz",
        _ => $"{Number(hertz)} Hz",
    };

    /// <summary>A share, 0 to 1, in per cent.</summary>
    public static string Share(double share) => $"{Number(share * 100, 3)} %";

    /// <summary>A difference of ramp codes, in volts as well where the scale is known.</summary>
    public static string RampCodes(double codes, Setup setup) => $"{Number(codes, 3)} codes{Volts(codes, setup.RampVolts, setup)}";

    /// <summary>A difference of codes of a vertical, in decibels or volts as well where they are known.</summary>
    public static string VerticalCodes(double codes, int vertical, Setup setup)
    {
        VerticalScale scale = setup.VerticalScaleOf(vertical);
        string text = $"{Number(codes, 3)} codes";
        return LevelPerCode(scale, setup) is { } perCode
            ? $"{text} ({Number(Math.Abs(codes * perCode), 3)} dB)"
            : text + Volts(codes, scale.Volts, setup);
    }

    /// <summary>Decibels of one code where the vertical is logarithmic and its levels are known; otherwise null.</summary>
    public static double? LevelPerCode(VerticalScale scale, Setup setup)
    {
        if (scale.Law != VerticalLaw.Logarithmic || scale.Volts is null || scale.Level.Count < 2) return null;
        decimal perVolt = (scale.Level[^1].LevelDb - scale.Level[0].LevelDb) / (scale.Level[^1].Volts - scale.Level[0].Volts);
        return (double)(perVolt * (scale.Volts.AtFullCode - scale.Volts.AtCodeZero)) / setup.Scan.FullCode;
    }

    /// <summary>One or many.</summary>
    public static string Count(long count, string one, string many) => count == 1 ? $"1 {one}" : $"{count.ToString("N0", Culture)} {many}";

    private static string Volts(double codes, CodeVolts? volts, Setup setup)
    {
        if (volts is null) return "";
        double value = Math.Abs(codes * (double)(volts.AtFullCode - volts.AtCodeZero) / setup.Scan.FullCode);
        return value >= 1 ? $" ({Number(value, 3)} V)" : $" ({Number(value * 1e3, 3)} mV)";
    }
}
