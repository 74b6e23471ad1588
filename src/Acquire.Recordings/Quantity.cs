using System.Diagnostics.CodeAnalysis;
using System.Globalization;

namespace Acquire.Recordings;

/// <summary>A number with its unit, as people write it: "455 kHz", "0.8ms", "-30 dBm", "100k".</summary>
/// <remarks>
/// SI prefixes q to Q; micro is u, µ (U+00B5) or μ (U+03BC). Decibels, per cent and plain words take no prefix. A prefix without a unit scales the number
/// ("100k"); m alone is milli. The decimal point is a point. The value is exact: what cannot be kept exactly in a decimal is refused, not rounded.
/// </remarks>
/// <param name="Value">The number in the base unit: "455 kHz" is 455000.</param>
/// <param name="Unit">The unit without prefix ("Hz"), or empty where none was written.</param>
public readonly record struct Quantity(decimal Value, string Unit)
{
    private const string Prefixes = "qryzafpnum kMGTPEZYRQ";
    private const int MostDigits = 28;
    private const int MostExponent = 99;

    private static readonly string[] PrefixedUnits = ["Hz", "V", "s", "A", "W", "Ohm", "Ω"];
    private static readonly string[] PlainUnits = ["dB", "dBm", "dBc", "dBV", "dBmV", "dBuV", "dBW", "dBFS", "%", "scans", "codes"];

    // Null in a quantity that nobody has made, such as that of an attempt that failed; it reads as none.
    private readonly string? _unit = Unit.Length > 0 ? Unit : null;

    /// <summary>The unit without prefix ("Hz"), or empty where none was written.</summary>
    public string Unit
    {
        get => _unit ?? "";
        init => _unit = value.Length > 0 ? value : null;
    }

    /// <summary>Reads a quantity.</summary>
    /// <param name="text">Number, optional space, optional prefix and unit.</param>
    /// <exception cref="FormatException">It is none; the message is one line with text, reason and cure.</exception>
    public static Quantity Parse(string text) =>
        TryParse(text, out Quantity quantity, out string? problem) ? quantity : throw new FormatException(problem);

    /// <summary>Reads a quantity that must be in one unit, or without any.</summary>
    /// <param name="text">Number, optional space, optional prefix and unit.</param>
    /// <param name="unit">Unit wanted, without prefix; a number alone is taken to be in it.</param>
    /// <returns>The number in that unit.</returns>
    /// <exception cref="FormatException">It is none, or in another unit; the message is one line with text, reason and cure.</exception>
    public static decimal Parse(string text, string unit) =>
        TryParse(text, unit, out decimal value, out string? problem) ? value : throw new FormatException(problem);

    /// <summary>Reads a quantity that must be in one unit, or without any.</summary>
    /// <param name="text">Number, optional space, optional prefix and unit.</param>
    /// <param name="unit">Unit wanted, without prefix; a number alone is taken to be in it.</param>
    /// <param name="value">The number in that unit.</param>
    /// <param name="problem">One line with text, reason and cure where it failed, otherwise null.</param>
    public static bool TryParse(string text, string unit, out decimal value, [NotNullWhen(false)] out string? problem)
    {
        value = 0;
        if (!TryParse(text, out Quantity quantity, out problem)) return false;
        if (quantity.Unit.Length > 0 && !string.Equals(quantity.Unit, unit, StringComparison.Ordinal))
        {
            problem = unit.Length == 0
                ? $"\"{VisibleText.Of(text)}\" has the unit {quantity.Unit}; write the number alone."
                : $"\"{VisibleText.Of(text)}\" is in {quantity.Unit} but {unit} is wanted; write it in {unit}.";
            return false;
        }

        value = quantity.Value;
        return true;
    }

    /// <summary>Reads a quantity.</summary>
    /// <param name="text">Number, optional space, optional prefix and unit.</param>
    /// <param name="quantity">The quantity.</param>
    /// <param name="problem">One line with text, reason and cure where it failed, otherwise null.</param>
    public static bool TryParse(string text, out Quantity quantity, [NotNullWhen(false)] out string? problem)
    {
        ArgumentNullException.ThrowIfNull(text);
        quantity = default;
        ReadOnlySpan<char> rest = text.AsSpan().Trim();
        int numberEnd = NumberEnd(rest);
        if (numberEnd == 0)
        {
            problem = $"\"{VisibleText.Of(text)}\" does not begin with a number; write a number and a unit, for example 455 kHz.";
            return false;
        }

        ReadOnlySpan<char> unit = rest[numberEnd..].TrimStart();
        if (!TryUnit(unit, out string baseUnit, out int power))
        {
            problem = unit[0] == ','
                ? $"\"{VisibleText.Of(text)}\" has a comma; the decimal mark is a point and digits are not grouped."
                : unit[0] == 'K'
                    ? $"\"{VisibleText.Of(text)}\": the prefix kilo is a small k; write {VisibleText.Of(rest[..numberEnd].ToString())} k{VisibleText.Of(unit[1..].ToString())}."
                    : $"\"{VisibleText.Of(text)}\": the unit \"{VisibleText.Of(unit.ToString())}\" is not known; units are {string.Join(", ", PrefixedUnits)} with an SI prefix, or {string.Join(", ", PlainUnits)}.";
            return false;
        }

        if (!TryNumber(rest[..numberEnd], power, out decimal value))
        {
            problem = $"\"{VisibleText.Of(text)}\" is too large or has too many digits; at most {MostDigits} digits are kept exactly.";
            return false;
        }

        quantity = new Quantity(value, baseUnit);
        problem = null;
        return true;
    }

    /// <summary>The quantity with the prefix that leaves one to three digits before the point, and a space: "455 kHz".</summary>
    public override string ToString()
    {
        if (Value == 0 || !PrefixedUnits.Contains(Unit))
            return Unit.Length == 0 ? Plain(Value) : $"{Plain(Value)} {Unit}";
        decimal scaled = Value;
        int prefix = Prefixes.IndexOf(' ');

        // Only as far as a reader expects, and only where the decimal stays exact.
        while (Math.Abs(scaled) >= 1000 && prefix < Prefixes.Length - 1 && scaled / 1000 * 1000 == scaled)
        {
            scaled /= 1000;
            prefix++;
        }

        while (Math.Abs(scaled) < 1 && prefix > 0)
        {
            scaled *= 1000;
            prefix--;
        }

        char letter = Prefixes[prefix] == 'u' ? 'µ' : Prefixes[prefix];
        return letter == ' ' ? $"{Plain(scaled)} {Unit}" : $"{Plain(scaled)} {letter}{Unit}";
    }

    private static string Plain(decimal value) => value.ToString("0.############################", CultureInfo.InvariantCulture);

    private static int NumberEnd(ReadOnlySpan<char> text)
    {
        int at = 0;
        if (at < text.Length && text[at] is '+' or '-' or '\u2212') at++;
        int digits = 0;
        while (at < text.Length && (char.IsAsciiDigit(text[at]) || text[at] == '.'))
        {
            if (text[at] == '.' && text[..at].Contains('.')) return 0;
            if (text[at] != '.') digits++;
            at++;
        }

        if (digits == 0) return 0;

        // An exponent only where digits follow; otherwise E is exa.
        int end = at;
        if (at < text.Length && text[at] is 'e' or 'E')
        {
            at++;
            if (at < text.Length && text[at] is '+' or '-') at++;
            int exponentDigits = at;
            while (at < text.Length && char.IsAsciiDigit(text[at])) at++;
            if (at > exponentDigits) end = at;
        }

        return end;
    }

    private static bool TryUnit(ReadOnlySpan<char> text, out string unit, out int power)
    {
        power = 0;
        unit = "";
        if (text.IsEmpty) return true;
        Span<char> name = text.Length <= 16 ? stackalloc char[text.Length] : new char[text.Length];
        text.CopyTo(name);
        name.Replace('µ', 'u');
        name.Replace('μ', 'u');
        foreach (string known in PlainUnits.AsSpan())
            if (name.SequenceEqual(known)) return Found(known, out unit);
        foreach (string known in PrefixedUnits.AsSpan())
            if (name.SequenceEqual(known)) return Found(known, out unit);
        int prefix = Prefixes.IndexOf(name[0]);
        if (prefix < 0 || name[0] == ' ') return false;
        power = 3 * (prefix - Prefixes.IndexOf(' '));
        if (name.Length == 1) return true;
        foreach (string known in PrefixedUnits.AsSpan())
            if (name[1..].SequenceEqual(known)) return Found(known, out unit);
        return false;
    }

    private static bool Found(string known, out string unit)
    {
        unit = known is "Ω" ? "Ohm" : known;
        return true;
    }

    private static bool TryNumber(ReadOnlySpan<char> text, int power, out decimal value)
    {
        value = 0;
        bool negative = text[0] is '-' or '\u2212';
        if (text[0] is '+' or '-' or '\u2212') text = text[1..];
        int e = text.IndexOfAny('e', 'E');
        if (e >= 0)
        {
            if (!int.TryParse(text[(e + 1)..], NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out int exponent)
                || exponent is < -MostExponent or > MostExponent)
            {
                return false;
            }

            power += exponent;
            text = text[..e];
        }

        // Digits and a power of ten, so that neither parsing nor scaling rounds.
        Int128 digits = 0;
        bool pointSeen = false;
        int zeros = 0;
        foreach (char c in text)
        {
            if (c == '.')
            {
                pointSeen = true;
                continue;
            }

            if (pointSeen) power--;
            if (c == '0')
            {
                // Held back: zeros at the end cost no digits.
                zeros++;
                continue;
            }

            for (; zeros > 0; zeros--)
                if (digits > 0 && (digits *= 10) > MostMantissa) return false;
            zeros = 0;
            digits = (digits * 10) + (c - '0');
            if (digits > MostMantissa) return false;
        }

        if (digits == 0) return true;
        power += zeros;
        for (; power > 0; power--)
            if ((digits *= 10) > MostMantissa) return false;
        if (power < -MostDigits) return false;
        value = (decimal)digits;
        for (; power < 0; power++) value = Tenth(value);
        if (negative) value = -value;
        return true;
    }

    private static Int128 MostMantissa => (Int128)decimal.MaxValue;

    private static decimal Tenth(decimal value)
    {
        int[] parts = decimal.GetBits(value);
        byte scale = (byte)((parts[3] >> 16) & 0xFF);
        return new decimal(parts[0], parts[1], parts[2], isNegative: false, (byte)(scale + 1));
    }
}
