using System.Text.Json;
using Acquire.Recordings;

namespace Acquire.Sources.Synthetic;

/// <summary>One value of a bench's description with the name under which it stands.</summary>
internal readonly struct SpecValue(JsonElement element, string name)
{
    public JsonElement Element { get; } = element;

    public string Name { get; } = name;

    public bool IsObject => Element.ValueKind == JsonValueKind.Object;

    public bool IsNone => Element.ValueKind == JsonValueKind.Null || (Element.ValueKind == JsonValueKind.String && Element.GetString() is "none");

    /// <summary>A number, alone or with a unit.</summary>
    public double Number(string unit)
    {
        if (Element.ValueKind == JsonValueKind.Number && Element.TryGetDouble(out double number)) return number;
        if (Element.ValueKind != JsonValueKind.String) throw Wrong(unit.Length == 0 ? "a number" : $"a number or a text such as \"1 {unit}\"");
        return Quantity.TryParse(Element.GetString()!, unit, out decimal value, out string? problem)
            ? (double)value
            : throw new SyntheticSpecException($"{Name}: {problem}");
    }

    /// <summary>A length of time in scans: a number of scans, seconds, or per cent of a whole.</summary>
    public double Scans(double scanRateHz, double? whole)
    {
        if (Element.ValueKind == JsonValueKind.Number) return Element.GetDouble();
        if (Element.ValueKind != JsonValueKind.String) throw Wrong("scans such as 400 or a time such as \"40 ms\"");
        if (!Quantity.TryParse(Element.GetString()!, out Quantity quantity, out string? problem)) throw new SyntheticSpecException($"{Name}: {problem}");
        return quantity.Unit switch
        {
            "" or "scans" => (double)quantity.Value,
            "s" => (double)quantity.Value * scanRateHz,
            "%" when whole is { } all => (double)quantity.Value / 100 * all,
            _ => throw Wrong(whole is null ? "scans such as 400 or a time such as \"40 ms\"" : "scans such as 400, a time such as \"40 ms\" or a part of the sweep such as \"10 %\""),
        };
    }

    public long Whole()
    {
        double number = Number("");
        return number == Math.Floor(number) && Math.Abs(number) <= 1L << 53 ? (long)number : throw Wrong("a whole number");
    }

    public int Count()
    {
        long whole = Whole();
        return whole is >= 0 and <= int.MaxValue ? (int)whole : throw Wrong("a whole number of 0 or more");
    }

    public ulong Seed()
    {
        if (Element.ValueKind == JsonValueKind.Number && Element.TryGetUInt64(out ulong seed)) return seed;
        return Element.ValueKind == JsonValueKind.String && ulong.TryParse(Element.GetString(), out seed) ? seed : throw Wrong("a whole number of 0 or more");
    }

    public bool Flag() => Element.ValueKind switch
    {
        JsonValueKind.True => true,
        JsonValueKind.False => false,
        JsonValueKind.String when Element.GetString() is "true" or "yes" => true,
        JsonValueKind.String when Element.GetString() is "false" or "no" => false,
        _ => throw Wrong("true or false"),
    };

    public string Text() => Element.ValueKind == JsonValueKind.String ? Element.GetString()! : throw Wrong("a text");

    /// <summary>One of an enumeration's words, in camel case or with hyphens.</summary>
    public T Word<T>(params ReadOnlySpan<(string Word, T Value)> more)
        where T : struct, Enum
    {
        string text = Element.ValueKind == JsonValueKind.String ? Element.GetString()! : "";
        foreach ((string word, T value) in more)
            if (string.Equals(word, text, StringComparison.OrdinalIgnoreCase)) return value;
        string joined = text.Replace("-", "", StringComparison.Ordinal);
        foreach (T value in Enum.GetValues<T>())
            if (string.Equals(value.ToString(), joined, StringComparison.OrdinalIgnoreCase)) return value;
        throw Wrong("one of " + string.Join(", ", Enum.GetNames<T>().Select(Spec.Hyphened)));
    }

    /// <summary>The entries of a list; a text is cut at its commas.</summary>
    public IReadOnlyList<SpecValue> List()
    {
        string list = Name;
        if (Element.ValueKind == JsonValueKind.Array)
            return [.. Element.EnumerateArray().Select((e, i) => new SpecValue(e, $"{list}[{i}]"))];
        if (Element.ValueKind == JsonValueKind.String)
            return [.. Element.GetString()!.Split(',', StringSplitOptions.TrimEntries).Select((t, i) => new SpecValue(Spec.TextElement(t), $"{list}[{i}]"))];
        return [this];
    }

    public SyntheticSpecException Wrong(string wanted)
    {
        string raw = Element.GetRawText().ReplaceLineEndings(" ");
        return new SyntheticSpecException($"{Name} is {(raw.Length > 60 ? raw[..57] + "..." : raw)}; give {wanted}.");
    }
}
