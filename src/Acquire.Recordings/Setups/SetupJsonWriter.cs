using System.Text.Encodings.Web;
using System.Text.Json;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Recordings.Setups;

/// <summary>Writes a setup as JSON: every member, in the order of the records.</summary>
internal static class SetupJsonWriter
{
    public const int FormatVersion = 1;

    // Text is for people: µ and Ω stay as they are; nobody puts a setup file into a web page.
    private static readonly JsonWriterOptions Options = new()
    {
        Indented = true,
        NewLine = "\n",
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>Writes a document.</summary>
    public static void Write(Stream stream, SetupDocument document)
    {
        using var json = new Utf8JsonWriter(stream, Options);
        Setup setup = document.Setup;
        json.WriteStartObject();
        json.WriteNumber("version", FormatVersion);
        Scan(json, setup.Scan);
        Volts(json, "rampVolts", setup.RampVolts);
        json.WriteStartArray("verticals");
        foreach (VerticalScale vertical in setup.Verticals) Vertical(json, vertical);
        json.WriteEndArray();
        Sweep(json, setup.Sweep);
        Axis(json, setup.Axis);
        Columns(json, setup.Columns);
        Traces(json, setup.Traces);
        Settings(json, setup.Settings);
        json.WriteStartArray("guessed");
        foreach (string path in document.Guessed) json.WriteStringValue(path);
        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Scan(Utf8JsonWriter json, ScanFormat scan)
    {
        json.WriteStartObject("scan");
        json.WriteStartArray("roles");
        foreach (ChannelRole role in scan.Roles) json.WriteStringValue(SetupWords.Of(SetupWords.Roles, role));
        json.WriteEndArray();
        json.WriteNumber("bits", scan.Bits);
        Number(json, "scanRateHz", scan.ScanRateHz);
        json.WriteEndObject();
    }

    private static void Volts(Utf8JsonWriter json, string name, CodeVolts? volts)
    {
        if (volts is null)
        {
            json.WriteNull(name);
            return;
        }

        json.WriteStartObject(name);
        json.WriteNumber("atCodeZero", volts.AtCodeZero);
        json.WriteNumber("atFullCode", volts.AtFullCode);
        json.WriteEndObject();
    }

    private static void Vertical(Utf8JsonWriter json, VerticalScale vertical)
    {
        json.WriteStartObject();
        Volts(json, "volts", vertical.Volts);
        json.WriteString("law", SetupWords.Of(SetupWords.Laws, vertical.Law));
        json.WriteString("up", SetupWords.Of(SetupWords.Ups, vertical.Up));
        json.WriteStartArray("level");
        foreach (LevelPoint point in vertical.Level)
        {
            json.WriteStartObject();
            json.WriteNumber("volts", point.Volts);
            json.WriteNumber("levelDb", point.LevelDb);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteNumber("zeroVolts", vertical.ZeroVolts);
        json.WriteString("levelUnit", vertical.LevelUnit);
        json.WriteEndObject();
    }

    private static void Sweep(Utf8JsonWriter json, SweepOptions sweep)
    {
        json.WriteStartObject("sweep");
        json.WriteString("mode", SetupWords.Of(SetupWords.Modes, sweep.Mode));
        json.WriteString("direction", SetupWords.Of(SetupWords.Directions, sweep.Direction));
        if (sweep.Edges is { } edges)
        {
            json.WriteStartObject("edges");
            json.WriteNumber("low", edges.Low);
            json.WriteNumber("high", edges.High);
            json.WriteEndObject();
        }
        else
        {
            json.WriteNull("edges");
        }

        json.WriteStartObject("blanking");
        if (sweep.Blanking.HighIsBlanked is { } high) json.WriteBoolean("highIsBlanked", high);
        else json.WriteNull("highIsBlanked");
        Number(json, "thresholdCode", sweep.Blanking.ThresholdCode);
        Number(json, "hysteresisCodes", sweep.Blanking.HysteresisCodes);
        json.WriteNumber("leadSeconds", sweep.Blanking.LeadSeconds);
        json.WriteEndObject();
        json.WriteNumber("timeSpan", sweep.TimeSpan);
        json.WriteEndObject();
    }

    private static void Axis(Utf8JsonWriter json, SweepAxis? axis)
    {
        if (axis is null)
        {
            json.WriteNull("axis");
            return;
        }

        json.WriteStartObject("axis");
        json.WriteNumber("start", axis.Start);
        json.WriteNumber("end", axis.End);
        json.WriteString("unit", axis.Unit);
        json.WriteStartArray("shape");
        foreach (ShapePoint point in axis.Shape)
        {
            json.WriteStartObject();
            json.WriteNumber("fraction", point.Fraction);
            json.WriteNumber("share", point.Share);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Columns(Utf8JsonWriter json, ColumnOptions columns)
    {
        json.WriteStartObject("columns");
        json.WriteNumber("columnCount", columns.ColumnCount);
        json.WriteString("placement", SetupWords.Of(SetupWords.Placements, columns.Placement));
        json.WriteBoolean("rippleIsReal", columns.RippleIsReal);
        json.WriteStartArray("domains");
        foreach (AveragingDomain domain in columns.Domains) json.WriteStringValue(SetupWords.Of(SetupWords.Domains, domain));
        json.WriteEndArray();
        json.WriteNumber("skewScans", columns.SkewScans);
        json.WriteNumber("videoDelaySeconds", columns.VideoDelaySeconds);
        Number(json, "settleSeconds", columns.SettleSeconds);
        json.WriteNumber("fillOverSweeps", columns.FillOverSweeps);
        json.WriteEndObject();
    }

    private static void Traces(Utf8JsonWriter json, TraceOptions traces)
    {
        json.WriteStartObject("traces");
        json.WriteNumber("historySweeps", traces.HistorySweeps);
        json.WriteBoolean("countAborted", traces.CountAborted);
        json.WriteEndObject();
    }

    private static void Settings(Utf8JsonWriter json, InstrumentSettings settings)
    {
        json.WriteStartObject("settings");
        if (settings.Instrument is null) json.WriteNull("instrument");
        else json.WriteString("instrument", settings.Instrument);
        Number(json, "centreHz", settings.CentreHz);
        Number(json, "spanHz", settings.SpanHz);
        Number(json, "resolutionBandwidthHz", settings.ResolutionBandwidthHz);
        Number(json, "videoBandwidthHz", settings.VideoBandwidthHz);
        Number(json, "referenceLevelDb", settings.ReferenceLevelDb);
        Number(json, "attenuationDb", settings.AttenuationDb);
        Number(json, "sweepTimeSeconds", settings.SweepTimeSeconds);
        json.WriteStartObject("more");
        foreach ((string name, string value) in settings.More.OrderBy(m => m.Key, StringComparer.Ordinal)) json.WriteString(name, value);
        json.WriteEndObject();
        json.WriteEndObject();
    }

    private static void Number(Utf8JsonWriter json, string name, double? value)
    {
        if (value is { } number) json.WriteNumber(name, number);
        else json.WriteNull(name);
    }

    private static void Number(Utf8JsonWriter json, string name, int? value)
    {
        if (value is { } number) json.WriteNumber(name, number);
        else json.WriteNull(name);
    }
}
