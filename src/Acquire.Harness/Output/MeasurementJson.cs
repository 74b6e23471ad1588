using System.Text.Json;
using Acquire.Harness.Measuring;
using Acquire.Traces;

namespace Acquire.Harness.Output;

/// <summary>Writes a measurement as JSON.</summary>
internal static class MeasurementJson
{
    /// <summary>Writes the object and a line end.</summary>
    /// <param name="stream">Gets the text; the caller closes it.</param>
    /// <param name="measurement">What came out.</param>
    public static void Write(Stream stream, Measurement measurement)
    {
        using (Utf8JsonWriter json = new(stream, new JsonWriterOptions { SkipValidation = true }))
        {
            json.WriteStartObject();
            if (measurement.VerticalChannel is { } channel) json.WriteNumber("vertical", channel);
            json.WriteNumber("sweepsUsed", measurement.SweepsUsed);
            JsonNumbers.Write(json, "sweepTimeSeconds", measurement.SweepTimeSeconds);
            json.WriteBoolean("normalised", measurement.ReferenceSweepsUsed is not null);
            if (measurement.ReferenceSweepsUsed is { } sweeps)
            {
                json.WriteNumber("referenceSweepsUsed", sweeps);
                json.WriteNumber("referenceOffsetDb", measurement.ReferenceOffsetDb);
            }

            json.WriteString("detector", measurement.Detector);
            json.WriteString("domain", measurement.Domain);
            json.WriteString("placement", measurement.Placement);
            json.WriteNumber("settlingColumns", measurement.SettlingColumns);
            WriteTrace(json, measurement);
            WriteMarkers(json, measurement);
            WriteBandwidths(json, measurement);
            json.WriteStartArray("notes");
            foreach (string note in measurement.Notes) json.WriteStringValue(note);
            json.WriteEndArray();
            json.WriteEndObject();
        }

        stream.Write("\n"u8);
    }

    private static void WriteTrace(Utf8JsonWriter json, Measurement measurement)
    {
        json.WriteStartObject("trace");
        json.WriteString("unit", measurement.Unit);
        WriteNumbers(json, Positions.NameOf(measurement.Axis), measurement.Positions);
        WriteNumbers(json, "level", measurement.Values);
        WriteFlags(json, "trusted", measurement.Trusted);
        if (measurement.AtOrBelow is { } atOrBelow) WriteFlags(json, "atOrBelow", atOrBelow);
        json.WriteStartArray("count");
        foreach (long count in measurement.Counts) json.WriteNumberValue(count);
        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void WriteMarkers(Utf8JsonWriter json, Measurement measurement)
    {
        json.WriteStartArray("markers");
        foreach (PlacedMarker marker in measurement.Markers)
        {
            json.WriteStartObject();
            json.WriteString("name", marker.Name);
            json.WriteString("asked", marker.Asked);
            JsonNumbers.Write(json, Positions.NameOf(measurement.Axis), marker.Reading.Position);
            JsonNumbers.Write(json, "level", marker.Reading.Value);
            if (!marker.Reading.IsFound) json.WriteString("reason", TraceMarkers.Explain(marker.Reading.Outcome));
            else if (double.IsNegativeInfinity(marker.Reading.Value)) json.WriteString("reason", "There is no input here: the level is minus infinity, for which there is no number.");
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void WriteBandwidths(Utf8JsonWriter json, Measurement measurement)
    {
        string unit = measurement.Axis?.Unit is "s" ? "Seconds" : "Hz";
        json.WriteStartArray("bandwidths");
        foreach (BandwidthReading width in measurement.Bandwidths)
        {
            json.WriteStartObject();
            json.WriteNumber("levelDb", width.LevelDb);
            json.WriteString("kind", width.Kind == BandwidthKind.Notch ? "notch" : "peak");
            JsonNumbers.Write(json, "lower" + unit, width.IsFound ? width.Lower : null);
            JsonNumbers.Write(json, "upper" + unit, width.IsFound ? width.Upper : null);
            JsonNumbers.Write(json, "centre" + unit, width.IsFound ? width.Centre : null);
            JsonNumbers.Write(json, "width" + unit, width.IsFound ? width.Width : null);
            JsonNumbers.Write(json, "q", width.IsFound ? width.Q : null);
            JsonNumbers.Write(json, "referenceLevel", width.ReferenceValue);
            if (!width.IsFound) json.WriteString("reason", TraceMarkers.Explain(width.Outcome));
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }

    private static void WriteNumbers(Utf8JsonWriter json, string name, double[] numbers)
    {
        json.WriteStartArray(name);
        foreach (double number in numbers) JsonNumbers.Write(json, number);
        json.WriteEndArray();
    }

    private static void WriteFlags(Utf8JsonWriter json, string name, bool[] flags)
    {
        json.WriteStartArray(name);
        foreach (bool flag in flags) json.WriteBooleanValue(flag);
        json.WriteEndArray();
    }
}
