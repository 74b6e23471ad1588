using System.Text.Json;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Recordings.Setups;

/// <summary>Reads a setup from JSON and checks every value, so that what comes out can be used as it is.</summary>
internal sealed class SetupJsonReader
{
    private readonly string _file;

    private SetupJsonReader(string file) => _file = file;

    /// <summary>Reads a document.</summary>
    /// <param name="utf8">The whole file.</param>
    /// <param name="file">Its name, for messages.</param>
    /// <exception cref="SetupFileException">It is not JSON, or a member is unknown, missing or wrong.</exception>
    public static SetupDocument Read(ReadOnlyMemory<byte> utf8, string file)
    {
        if (utf8.Span.StartsWith("\uFEFF"u8)) utf8 = utf8[3..];
        try
        {
            using var json = JsonDocument.Parse(utf8, new JsonDocumentOptions
            {
                AllowTrailingCommas = true,
                CommentHandling = JsonCommentHandling.Skip,
                MaxDepth = 16,
            });
            return new SetupJsonReader(file).Document(json.RootElement);
        }
        catch (JsonException e)
        {
            string message = utf8.Span.ContainsAnyExcept(" \t\r\n"u8) ? e.Message.Split(" LineNumber:")[0] : "it is empty; an empty setup is {}.";
            throw new SetupFileException(SetupFileFailure.NotJson,
                $"{VisibleText.Whole(file)} is not JSON: {VisibleText.Of(message)} Line {e.LineNumber + 1}, byte {e.BytePositionInLine + 1} of it; correct the file there.", null, e);
        }
        catch (InvalidOperationException e)
        {
            // A member's name that is no text; the JSON reader looks at names only when they are taken.
            throw new SetupFileException(SetupFileFailure.NotJson,
                $"{VisibleText.Whole(file)} holds a name with what is no character, bytes that are not UTF-8 or half of a surrogate pair behind \\u; correct it there, or save the file as UTF-8.", null, e);
        }
    }

    private SetupDocument Document(JsonElement root)
    {
        var top = new SetupMembers(_file, "", root);
        _ = top.Whole("version", SetupJsonWriter.FormatVersion, SetupJsonWriter.FormatVersion);
        VerticalScale[] verticals = [.. top.Objects("verticals").Select(Vertical)];
        var setup = new Setup
        {
            Scan = Scan(top.Object("scan")),
            RampVolts = Volts(top.Object("rampVolts")),
            Verticals = verticals,
            Sweep = Sweep(top.Object("sweep")),
            Axis = Axis(top.Object("axis")),
            Columns = Columns(top.Object("columns")),
            Traces = Traces(top.Object("traces")),
            Settings = Settings(top.Object("settings"), verticals.FirstOrDefault(new VerticalScale()).LevelUnit),
        };
        List<string> guessed = top.Texts("guessed");
        top.End();
        Together(top, setup);
        foreach ((string path, int i) in guessed.Select((path, i) => (path, i)))
            if (!SetupPaths.Exists(root, path)) throw top.Wrong($"guessed[{i}]", $"\"{path}\"", "it must be the path of a member in this file, such as \"sweep.direction\"");
        return new SetupDocument(setup, guessed);
    }

    /// <summary>Rules that need more than one member.</summary>
    private static void Together(SetupMembers top, Setup setup)
    {
        int verticals = setup.Scan.VerticalChannels.Count;
        if (setup.Verticals.Count > verticals)
            throw top.Wrong("verticals", $"{setup.Verticals.Count} scales", $"the roles name {verticals} verticals; give at most one scale for each");
        if (setup.Scan.ScanRateHz is not null) return;
        const string Rule = "a time needs scan.scanRateHz; state it or leave this 0";
        if (setup.Columns.VideoDelaySeconds != 0) throw top.Wrong("columns.videoDelaySeconds", setup.Columns.VideoDelaySeconds, Rule);
        if (setup.Columns.SettleSeconds is { } settle && settle != 0) throw top.Wrong("columns.settleSeconds", settle, Rule);
        if (setup.Sweep.Blanking.LeadSeconds != 0) throw top.Wrong("sweep.blanking.leadSeconds", setup.Sweep.Blanking.LeadSeconds, Rule);
    }

    private static ScanFormat Scan(SetupMembers? m)
    {
        var scan = new ScanFormat();
        if (m is null) return scan;
        List<ChannelRole> roles = m.Choices("roles", SetupWords.Roles);
        scan = scan with
        {
            Roles = m.Has("roles") ? roles : scan.Roles,
            Bits = m.Whole("bits", 1, 16) ?? scan.Bits,
            ScanRateHz = m.Number("scanRateHz", "Hz"),
        };
        m.End();
        if (scan.ScanRateHz <= 0) throw m.Wrong("scanRateHz", scan.ScanRateHz, "it must be positive, or left out where it is not known");
        try
        {
            scan.Validate();
        }
        catch (ArgumentException e)
        {
            throw m.Wrong("roles", $"a list of {scan.Roles.Count}", e.Message.TrimEnd('.'));
        }

        return scan;
    }

    private static CodeVolts? Volts(SetupMembers? m)
    {
        if (m is null) return null;
        decimal zero = m.Exact("atCodeZero", "V") ?? throw m.Missing("atCodeZero");
        decimal full = m.Exact("atFullCode", "V") ?? throw m.Missing("atFullCode");
        m.End();
        return zero != full ? new CodeVolts(zero, full) : throw m.Wrong("atFullCode", full, "it must differ from atCodeZero");
    }

    private static VerticalScale Vertical(SetupMembers m)
    {
        var scale = new VerticalScale();
        scale = scale with
        {
            Volts = Volts(m.Object("volts")),
            Law = m.Choice("law", SetupWords.Laws, scale.Law),
            Up = m.Choice("up", SetupWords.Ups, scale.Up),
            LevelUnit = m.Text("levelUnit") ?? scale.LevelUnit,
            ZeroVolts = m.Exact("zeroVolts", "V") ?? scale.ZeroVolts,
        };
        List<LevelPoint> points = [.. m.Objects("level").Select(p => Level(p, scale.LevelUnit))];
        m.End();
        string? broken = SetupRules.Level(scale, points);
        if (broken is not null) throw m.Wrong("level", points.Count == 1 ? "1 point" : $"{points.Count} points", broken);
        return scale with { Level = points };
    }

    private static LevelPoint Level(SetupMembers m, string unit)
    {
        decimal volts = m.Exact("volts", "V") ?? throw m.Missing("volts");
        decimal level = m.Exact("levelDb", unit) ?? throw m.Missing("levelDb");
        m.End();
        return new LevelPoint(volts, level);
    }

    private static SweepOptions Sweep(SetupMembers? m)
    {
        var sweep = new SweepOptions();
        if (m is null) return sweep;
        sweep = sweep with
        {
            Mode = m.Choice("mode", SetupWords.Modes, sweep.Mode),
            Direction = m.Choice("direction", SetupWords.Directions, sweep.Direction),
            Edges = Edges(m.Object("edges")),
            Blanking = Blanking(m.Object("blanking")),
            TimeSpan = m.Number("timeSpan", "s") ?? sweep.TimeSpan,
        };
        m.End();
        return sweep.TimeSpan > 0 ? sweep : throw m.Wrong("timeSpan", sweep.TimeSpan, "it must be positive");
    }

    private static SweepEdges? Edges(SetupMembers? m)
    {
        if (m is null) return null;
        decimal low = m.Exact("low", "V") ?? throw m.Missing("low");
        decimal high = m.Exact("high", "V") ?? throw m.Missing("high");
        m.End();
        return low < high ? new SweepEdges(low, high) : throw m.Wrong("high", high, $"it must be above low, {low}");
    }

    private static BlankingOptions Blanking(SetupMembers? m)
    {
        if (m is null) return new BlankingOptions();
        var blanking = new BlankingOptions
        {
            HighIsBlanked = m.Flag("highIsBlanked"),
            ThresholdCode = m.Whole("thresholdCode", 0, ushort.MaxValue),
            HysteresisCodes = m.Whole("hysteresisCodes", 0, ushort.MaxValue),
            LeadSeconds = m.Number("leadSeconds", "s") ?? 0,
        };
        m.End();
        return blanking;
    }

    private static SweepAxis? Axis(SetupMembers? m)
    {
        if (m is null) return null;
        string unit = m.Text("unit") ?? "Hz";
        if (unit is not ("Hz" or "s")) throw m.Wrong("unit", $"\"{unit}\"", "it must be \"Hz\" or \"s\"");
        double start = m.Number("start", unit) ?? throw m.Missing("start");
        double end = m.Number("end", unit) ?? throw m.Missing("end");
        List<ShapePoint> shape = [.. m.Objects("shape").Select(Shape)];
        m.End();
        if (start == end) throw m.Wrong("end", end, "it must differ from start");
        string? broken = SetupRules.Shape(shape);
        return broken is null ? new SweepAxis(start, end, unit) { Shape = shape } : throw m.Wrong("shape", $"{shape.Count} points", broken);
    }

    private static ShapePoint Shape(SetupMembers m)
    {
        double fraction = m.Number("fraction", "") ?? throw m.Missing("fraction");
        double share = m.Number("share", "") ?? throw m.Missing("share");
        m.End();
        return new ShapePoint(fraction, share);
    }

    private static ColumnOptions Columns(SetupMembers? m)
    {
        var columns = new ColumnOptions();
        if (m is null) return columns;
        columns = columns with
        {
            ColumnCount = m.Whole("columnCount", ColumnOptions.MinColumns, ColumnOptions.MaxColumns) ?? columns.ColumnCount,
            Placement = m.Choice("placement", SetupWords.Placements, columns.Placement),
            RippleIsReal = m.Flag("rippleIsReal") ?? columns.RippleIsReal,
            Domains = m.Choices("domains", SetupWords.Domains),
            SkewScans = m.Number("skewScans", "scans") ?? columns.SkewScans,
            VideoDelaySeconds = m.Number("videoDelaySeconds", "s") ?? columns.VideoDelaySeconds,
            SettleSeconds = m.Number("settleSeconds", "s"),
            FillOverSweeps = m.Whole("fillOverSweeps", 0, int.MaxValue) ?? columns.FillOverSweeps,
        };
        m.End();
        if (columns.SkewScans is < 0 or > 1) throw m.Wrong("skewScans", columns.SkewScans, "it must be 0 to 1");
        if (columns.VideoDelaySeconds < 0) throw m.Wrong("videoDelaySeconds", columns.VideoDelaySeconds, "it must not be negative");
        if (columns.SettleSeconds < 0) throw m.Wrong("settleSeconds", columns.SettleSeconds, "it must not be negative");
        if (columns.Domains.Distinct().Count() < columns.Domains.Count)
            throw m.Wrong("domains", $"{columns.Domains.Count} entries", "each domain may be there once");
        return columns;
    }

    private static TraceOptions Traces(SetupMembers? m)
    {
        var traces = new TraceOptions();
        if (m is null) return traces;
        traces = traces with
        {
            HistorySweeps = m.Whole("historySweeps", 0, 65_536) ?? traces.HistorySweeps,
            CountAborted = m.Flag("countAborted") ?? traces.CountAborted,
        };
        m.End();
        return traces;
    }

    private static InstrumentSettings Settings(SetupMembers? m, string levelUnit)
    {
        if (m is null) return new InstrumentSettings();
        var settings = new InstrumentSettings
        {
            Instrument = m.Text("instrument"),
            CentreHz = m.Number("centreHz", "Hz"),
            SpanHz = NotNegative(m, "spanHz", "Hz"),
            ResolutionBandwidthHz = NotNegative(m, "resolutionBandwidthHz", "Hz"),
            VideoBandwidthHz = NotNegative(m, "videoBandwidthHz", "Hz"),
            ReferenceLevelDb = m.Number("referenceLevelDb", levelUnit),
            AttenuationDb = m.Number("attenuationDb", "dB"),
            SweepTimeSeconds = NotNegative(m, "sweepTimeSeconds", "s"),
            More = m.Table("more"),
        };
        m.End();
        return settings;
    }

    private static double? NotNegative(SetupMembers m, string name, string unit)
    {
        double? value = m.Number(name, unit);
        return value < 0 ? throw m.Wrong(name, value, "it must not be negative") : value;
    }
}
