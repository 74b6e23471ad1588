using System.Globalization;
using System.Text.Json;
using Acquire.Harness.Output;

namespace Acquire.Harness.Demo;

/// <summary>What the demo measured, beside what the trap's design says.</summary>
internal static class DemoFindings
{
    /// <summary>Prints the table.</summary>
    /// <param name="tables">Gets it.</param>
    /// <param name="measurementPath">The measurement as the demo's own replay wrote it.</param>
    public static void Print(PeopleTables tables, string measurementPath)
    {
        using JsonDocument document = JsonDocument.Parse(File.ReadAllBytes(measurementPath));
        JsonElement root = document.RootElement;
        List<string[]> rows = [];
        foreach (JsonElement width in root.GetProperty("bandwidths").EnumerateArray())
        {
            double levelDb = width.GetProperty("levelDb").GetDouble();
            (double lower, double upper) = Edges(levelDb);
            rows.Add([$"edges at {Number(levelDb, "0.##")} dB", $"{Kilo(width, "lowerHz")} and {Kilo(width, "upperHz")} kHz", $"{Kilo(lower)} and {Kilo(upper)} kHz"]);
            rows.Add([$"width at {Number(levelDb, "0.##")} dB", $"{Kilo(width, "widthHz")} kHz", $"{Kilo(upper - lower)} kHz"]);
        }

        JsonElement[] markers = [.. root.GetProperty("markers").EnumerateArray()];
        rows.Add(["deepest", $"{Level(markers[0])} at {Kilo(markers[0], "positionHz")} kHz", $"at {Kilo(HarbourBench.BeaconHz)} kHz, the beacon; as deep as the instrument's floor allows"]);
        rows.Add([$"loss at {Kilo(HarbourBench.StationHz)} kHz, a station", Level(markers[1]), $"{Number(-HarbourBench.Trap.LossDb(HarbourBench.StationHz), "0.00")} dB"]);
        int sweeps = root.GetProperty("sweepsUsed").GetInt32();
        tables.Table($"The trap against the wire, average of {sweeps} sweeps of {Number(root.GetProperty("sweepTimeSeconds").GetDouble(), "0.000")} s",
            ["what", "measured", "by the trap's design"], rows);
    }

    // Butterworth band-stop: |f² - f0²| / (B f) = w with w = (10^(-level/10) - 1)^(-1/2n) at a loss of -level (any filter handbook).
    private static (double Lower, double Upper) Edges(double levelDb)
    {
        double w = Math.Pow(Math.Pow(10, -levelDb / 10) - 1, -1.0 / (2 * HarbourBench.Trap.Order));
        double half = w * HarbourBench.Trap.BandwidthHz / 2;
        double middle = Math.Sqrt((HarbourBench.BeaconHz * HarbourBench.BeaconHz) + (half * half));
        return (middle - half, middle + half);
    }

    private static string Kilo(JsonElement element, string member) =>
        element.GetProperty(member).ValueKind == JsonValueKind.Number ? Kilo(element.GetProperty(member).GetDouble()) : "not found";

    private static string Kilo(double hertz) => Number(hertz / 1000, "0.00");

    private static string Level(JsonElement marker) =>
        marker.GetProperty("level").ValueKind == JsonValueKind.Number ? $"{Number(marker.GetProperty("level").GetDouble(), "0.00")} dB" : "not found";

    private static string Number(double value, string format) => value.ToString(format, CultureInfo.InvariantCulture) is var text && text.Trim('-', '0', '.').Length == 0 ? text.TrimStart('-') : text;
}
