using System.Globalization;
using Acquire.Harness.Measuring;
using Acquire.Recordings;
using Acquire.Traces;

namespace Acquire.Harness.Output;

/// <summary>Prints what a measurement found, for people.</summary>
internal static class MeasurementTables
{
    /// <summary>Prints markers and widths.</summary>
    public static void Print(PeopleTables tables, Measurement measurement)
    {
        string of = measurement.SweepsUsed == 1 ? $"sweep {measurement.LastSweepNumber}" : $"the average of {measurement.SweepsUsed} sweeps";
        string against = measurement.ReferenceSweepsUsed is null ? "" : " against the reference";
        int trusted = measurement.Trusted.Count(t => t);
        tables.Line($"Measured on {of}{against}: detector {measurement.Detector}{(measurement.Domain is { } domain ? $" of {domain}" : "")}, "
            + $"{trusted} of {measurement.Trusted.Length} columns trusted");
        tables.Line("");
        if (measurement.Markers.Count > 0)
        {
            tables.Table("Markers", ["name", "asked", ">position", ">level"], measurement.Markers.Select(marker => new[]
            {
                marker.Name, marker.Asked,
                marker.Reading.IsFound ? Position(measurement, marker.Reading.Position) : "not found",
                marker.Reading.IsFound ? Level(measurement, marker.Reading.Value) : TraceMarkers.Explain(marker.Reading.Outcome),
            }));
        }

        if (measurement.Bandwidths.Count == 0) return;
        tables.Table("Widths", [">at", "of", ">lower", ">upper", ">centre", ">width", ">q"], measurement.Bandwidths.Select(width => width.IsFound
            ? (string[])
            [
                Decibels(width.LevelDb), KindOf(width), Position(measurement, width.Lower), Position(measurement, width.Upper),
                Position(measurement, width.Centre), Position(measurement, width.Width), width.Q.ToString("0.###", CultureInfo.InvariantCulture),
            ]
            : [Decibels(width.LevelDb), KindOf(width), "not found", "", "", "", ""]));
        foreach (BandwidthReading width in measurement.Bandwidths.Where(width => !width.IsFound))
            tables.Line($"Note: no width at {Decibels(width.LevelDb)}: {TraceMarkers.Explain(width.Outcome)}");
    }

    private static string KindOf(BandwidthReading width) => width.Kind == BandwidthKind.Notch ? "notch" : "peak";

    private static string Decibels(double level) => level.ToString("0.###", CultureInfo.InvariantCulture) + " dB";

    // Without input a linear scale has no level.
    private static string Level(Measurement measurement, double level) =>
        double.IsFinite(level) ? level.ToString("0.00##", CultureInfo.InvariantCulture) + " " + measurement.Unit : "no input";

    // To a hundredth of a column no reading is better.
    private static string Position(Measurement measurement, double position)
    {
        string unit = measurement.Axis?.Unit ?? "%";
        double column = measurement.Positions.Length < 2 ? 1 : Math.Abs(measurement.Positions[1] - measurement.Positions[0]);
        double step = Math.Pow(10, Math.Floor(Math.Log10(column / 100)));
        double rounded = Math.Round(position / step) * step;
        return Math.Abs(rounded) < 1e15 ? new Quantity(decimal.Round((decimal)rounded, 15), unit).ToString() : $"{rounded} {unit}";
    }
}
