using System.Globalization;

namespace Acquire.Imaging.Layout;

/// <summary>Numbers with units as they are printed: SI prefixes, a true minus, thin spaces between thousands, no break before the unit.</summary>
internal static class Quantity
{
    public const string NotStated = "not stated";

    // Units that take a prefix; a logarithmic or counted unit does not.
    private static readonly string[] s_prefixed = ["Hz", "s", "V", "W", "A", "Ω", "m", "F", "H"];
    private static readonly string[] s_prefixes = ["p", "n", "µ", "m", "", "k", "M", "G", "T"];

    /// <summary>The power of ten, a multiple of three, whose prefix brings a magnitude to 1..999.</summary>
    public static int PrefixExponent(double magnitude, string unit)
    {
        if (!s_prefixed.Contains(unit, StringComparer.Ordinal) || magnitude == 0 || !double.IsFinite(magnitude)) return 0;
        // The small excess keeps 999.9999999 (a rounding error under 1000) with its neighbours.
        int exponent = (int)Math.Floor((Math.Log10(Math.Abs(magnitude)) + 1e-9) / 3) * 3;
        return Math.Clamp(exponent, -12, 12);
    }

    public static string PrefixedUnit(int exponent, string unit) => s_prefixes[(exponent / 3) + 4] + unit;

    /// <summary>A number with a fixed count of decimals.</summary>
    public static string Number(double value, int decimals)
    {
        if (!double.IsFinite(value)) return "–";
        // Rounded once, as everywhere else: a half in decimals would otherwise go to the even digit here and up in a table beside it.
        string digits = Math.Abs(value).ToString("F" + Math.Clamp(decimals, 0, 15).ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
        bool negative = value < 0 && digits.AsSpan().ContainsAnyInRange('1', '9');
        int point = digits.IndexOf('.', StringComparison.Ordinal);
        int whole = point < 0 ? digits.Length : point;
        if (whole > 4)
        {
            for (int at = whole - 3; at > 0; at -= 3) digits = digits.Insert(at, "\u202F");
        }

        return negative ? "−" + digits : digits;
    }

    /// <summary>A value with its unit, with decimals that show steps of the resolution.</summary>
    public static string Resolved(double value, string unit, double resolution)
    {
        if (!double.IsFinite(value)) return "–";
        int exponent = PrefixExponent(value, unit);
        double scale = Math.Pow(10, exponent);
        return Join(Number(value / scale, DecimalsFor(resolution / scale)), PrefixedUnit(exponent, unit));
    }

    /// <summary>A value with its unit to a number of significant digits, without zeros that say nothing.</summary>
    public static string Significant(double value, string unit, int digits)
    {
        if (!double.IsFinite(value)) return "–";
        int exponent = PrefixExponent(value, unit);
        double scaled = value / Math.Pow(10, exponent);
        int whole = scaled == 0 ? 1 : (int)Math.Floor(Math.Log10(Math.Abs(scaled))) + 1;
        string number = Number(scaled, Math.Max(0, digits - whole));
        if (number.Contains('.', StringComparison.Ordinal)) number = number.TrimEnd('0').TrimEnd('.');
        return Join(number, PrefixedUnit(exponent, unit));
    }

    /// <summary>Decimals that show steps of a size: 0.05 needs 2, 20 needs none.</summary>
    public static int DecimalsFor(double step) => !(step > 0) ? 0 : Math.Clamp((int)Math.Ceiling(-Math.Log10(step) - 1e-9), 0, 12);

    public static string Join(string number, string unit) => unit.Length == 0 ? number : number + "\u00A0" + unit;
}
