using System.Text.Json;

namespace Acquire.Harness.Output;

/// <summary>Numbers in machine output: the shortest text that reads back to the same double, and null where there is no number.</summary>
internal static class JsonNumbers
{
    /// <summary>Writes an array element.</summary>
    public static void Write(Utf8JsonWriter json, double value)
    {
        if (double.IsFinite(value)) json.WriteNumberValue(value);
        else json.WriteNullValue();
    }

    /// <summary>Writes a member.</summary>
    public static void Write(Utf8JsonWriter json, string name, double? value)
    {
        json.WritePropertyName(name);
        Write(json, value ?? double.NaN);
    }
}
