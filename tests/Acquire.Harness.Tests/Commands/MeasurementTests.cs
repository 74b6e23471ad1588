using System.Text.Json;
using System.Text.Json.Nodes;
using Acquire.Capture;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;
using Acquire.Recordings;
using Acquire.Scales;

namespace Acquire.Harness.Tests.Commands;

/// <summary>Markers, widths, references and floors of <c>replay --json</c>.</summary>
public sealed class MeasurementTests : IDisposable
{
    private static readonly string[] Scales =
    [
        "--bits", "12", "--ramp-volts=-5.5,5.5", "--vertical-volts=0.1,-1.1", "--axis", "5kHz,55kHz", "--level", "0V=-100dB,-1V=0dB",
    ];

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Json_Markers_ReadTheTraceBetweenColumnCentres()
    {
        JsonElement measurement = Measure("bandstop", "--marker", "24kHz", "--marker", "peak", "--marker", "minimum");

        double[] positions = Numbers(measurement.GetProperty("trace").GetProperty("positionHz"));
        double[] levels = Numbers(measurement.GetProperty("trace").GetProperty("level"));
        JsonElement[] markers = [.. measurement.GetProperty("markers").EnumerateArray()];
        Assert.Equal(["A", "B", "C"], markers.Select(marker => marker.GetProperty("name").GetString()));
        int below = Array.FindLastIndex(positions, position => position <= 24_000);
        double between = levels[below] + ((levels[below + 1] - levels[below]) * (24_000 - positions[below]) / (positions[below + 1] - positions[below]));
        Assert.Equal(between, markers[0].GetProperty("level").GetDouble(), 1e-9);
        Assert.Equal(levels.Max(), markers[1].GetProperty("level").GetDouble());
        Assert.Equal(levels.Min(), markers[2].GetProperty("level").GetDouble());
    }

    // No input is at half of the range, and the notch lies below it.
    [Fact]
    public void Marker_WhereThereIsNoInput_SaysSo()
    {
        string setup = Path.Combine(_folder.Path, "linear.json");
        File.WriteAllText(setup, """{ "verticals": [ { "volts": { "atCodeZero": 0, "atFullCode": 1 }, "zeroVolts": 0.5, "law": "power", "level": [ { "volts": 1, "levelDb": 0 } ] } ] }""");
        string[] command = ["replay", "bandstop", "--setup", setup, "--bits", "12", "--marker", "minimum"];

        JsonElement marker = JsonDocument.Parse(AcquireCommand.Run([.. command, "--json", "-"]).AssertDone().Output).RootElement.GetProperty("markers")[0];

        Assert.Equal(JsonValueKind.Null, marker.GetProperty("level").ValueKind);
        Assert.Contains("no input", marker.GetProperty("reason").GetString(), StringComparison.Ordinal);
        string people = AcquireCommand.Run(command).AssertDone().Output;
        Assert.Contains("no input", people, StringComparison.Ordinal);
        Assert.DoesNotContain("Infinity", people, StringComparison.Ordinal);
    }

    [Fact]
    public void Json_WidthThatIsNotThere_IsNullWithAReason()
    {
        JsonElement width = Assert.Single(Measure("through", "--bandwidth", "-60").GetProperty("bandwidths").EnumerateArray());

        Assert.Equal(JsonValueKind.Null, width.GetProperty("lowerHz").ValueKind);
        Assert.Equal(JsonValueKind.Null, width.GetProperty("q").ValueKind);
        Assert.NotEmpty(width.GetProperty("reason").GetString()!);
    }

    [Fact]
    public void Json_StatedFloor_TakesTheTrustFromReadingsNearIt()
    {
        JsonElement trace = Measure("bandstop", "--floor", "-60dB").GetProperty("trace");

        double[] levels = Numbers(trace.GetProperty("level"));
        for (int column = 0; column < levels.Length; column++)
        {
            Assert.Equal(levels[column] >= -50, trace.GetProperty("trusted")[column].GetBoolean());   // 10 dB above the floor
            Assert.Equal(levels[column] < -57, trace.GetProperty("atOrBelow")[column].GetBoolean());  // 3 dB above the floor
        }
    }

    [Fact]
    public void Json_NoAxis_IsInPerCentOfTheRamp()
    {
        CommandResult result = AcquireCommand.Run("replay", "through", "--bits", "12", "--columns", "10", "--json", "-", "--marker", "50%").AssertDone();

        JsonElement trace = JsonDocument.Parse(result.Output).RootElement.GetProperty("trace");
        Assert.Equal("code", trace.GetProperty("unit").GetString());
        Assert.Equal([5, 15, 25, 35, 45, 55, 65, 75, 85, 95], Numbers(trace.GetProperty("positionPercent")));
    }

    [Fact]
    public void Json_MoreSweepsAskedForThanThereAre_UsesThoseAndSaysSo()
    {
        JsonElement measurement = Measure("through", "--average", "9");

        Assert.Equal(4, measurement.GetProperty("sweepsUsed").GetInt32());
        Assert.Contains(measurement.GetProperty("notes").EnumerateArray(), note => note.GetString()!.Contains("average of 9", StringComparison.Ordinal));
    }

    [Fact]
    public void Json_ReferenceOfAnotherReferenceLevel_IsRefusedUnlessTheOffsetIsStated()
    {
        Copy("bandstop", "reading", referenceLevelDb: 0);
        Copy("through", "wire", referenceLevelDb: -10);
        string[] command = ["replay", "reading", "--reference", "wire", "--json", "-"];

        AcquireCommand.RunIn(_folder.Path, command).AssertFailed(ExitCode.Usage, "--reference-offset");
        JsonElement allowed = JsonDocument.Parse(AcquireCommand.RunIn(_folder.Path, [.. command, "--reference-offset", "10"]).AssertDone().Output).RootElement;

        Assert.Equal(10, allowed.GetProperty("referenceOffsetDb").GetDouble());
        // Flat parts read 0 dB less the offset.
        Assert.Equal(-10, allowed.GetProperty("trace").GetProperty("level")[900].GetDouble(), 0.2);
    }

    [Fact]
    public void Json_ReferenceOffsetWithoutADifferenceThatIsStated_IsRefused()
    {
        Copy("bandstop", "reading", referenceLevelDb: 0);
        Copy("through", "wire", referenceLevelDb: 0);
        string[] command = ["replay", "reading", "--reference", "wire", "--json", "-"];

        AcquireCommand.RunIn(_folder.Path, [.. command, "--reference-offset", "10"]).AssertFailed(ExitCode.Usage, "--reference-offset");
        AcquireCommand.RunIn(_folder.Path, [.. command, "--reference-offset", "0"]).AssertDone();
    }

    // What the refusal says, done once, is all there is to do.
    [Fact]
    public void Json_ReferenceOffsetButNoSettings_SaysWhatToStateAndWhere()
    {
        Copy("bandstop", "reading", referenceLevelDb: null);
        Copy("through", "wire", referenceLevelDb: null);
        string[] command = ["replay", "reading", "--reference", "wire", "--reference-offset", "10", "--json", "-"];

        CommandResult refused = AcquireCommand.RunIn(_folder.Path, command);
        refused.AssertFailed(ExitCode.Usage, "\"settings\": { \"attenuationDb\": 20 } in reading.setup.json and 10 in wire.setup.json");
        Assert.DoesNotContain("--setup", refused.Error, StringComparison.Ordinal);
        foreach ((string name, int decibels) in ((string, int)[])[("reading", 20), ("wire", 10)])
        {
            string path = Path.Combine(_folder.Path, name + SetupFile.Extension);
            JsonObject setup = JsonNode.Parse(File.ReadAllText(path))!.AsObject();
            setup["settings"] = JsonNode.Parse($$"""{ "attenuationDb": {{decibels}} }""");
            File.WriteAllText(path, setup.ToJsonString());
        }

        Assert.Equal(10, JsonDocument.Parse(AcquireCommand.RunIn(_folder.Path, command).AssertDone().Output).RootElement.GetProperty("referenceOffsetDb").GetDouble());
        AcquireCommand.RunIn(_folder.Path, [.. command, "--setup", "wire.setup.json"]).AssertFailed(ExitCode.Usage, "leave --setup away, since wire.setup.json then holds for both");
    }

    [Fact]
    public void Json_ReferenceThatIsNotThere_IsThree()
    {
        AcquireCommand.Run(["replay", "bandstop", .. Scales, "--reference", "nothing", "--json", "-"]).AssertFailed(ExitCode.Unreadable, "nothing");
    }

    [Fact]
    public void Json_ReferenceWithoutLevels_IsRefused()
    {
        AcquireCommand.Run("replay", "bandstop", "--bits", "12", "--reference", "through", "--json", "-").AssertFailed(ExitCode.Usage, "--reference");
    }

    [Fact]
    public void Json_EdgesGiven_PutTheAxisOnThem()
    {
        // The ramp runs from -5 to +5 V; the screen is told to be its inner half.
        JsonElement measurement = Measure("bandstop", "--edges=-2.5,2.5", "--marker", "minimum");

        // Half of the ramp is shown over the whole axis, so the notch at 25 kHz, 40 % of the ramp, lies at 30 % of it.
        Assert.Equal(20_000, measurement.GetProperty("markers")[0].GetProperty("positionHz").GetDouble(), 400.0);
    }

    private static JsonElement Measure(string recording, params string[] more) =>
        JsonDocument.Parse(AcquireCommand.Run(["replay", recording, .. Scales, "--json", "-", .. more]).AssertDone().Output).RootElement;

    private static double[] Numbers(JsonElement array) => [.. array.EnumerateArray().Select(number => number.GetDouble())];

    private void Copy(string recording, string name, double? referenceLevelDb)
    {
        foreach (string ending in (string[])[".sigmf-data", ".sigmf-meta"])
            File.Copy(Path.Combine(AcquireCommand.Data, recording + ending), Path.Combine(_folder.Path, name + ending));
        SetupFile.Save(Path.Combine(_folder.Path, name + SetupFile.Extension), new Setup
        {
            Scan = new ScanFormat { Bits = 12, ScanRateHz = 100_000 },
            RampVolts = new CodeVolts(-5.5m, 5.5m),
            Verticals = [new VerticalScale { Volts = new CodeVolts(0.1m, -1.1m), Level = [new LevelPoint(0, -100), new LevelPoint(-1, 0)] }],
            Axis = new SweepAxis(5_000, 55_000),
            Settings = new InstrumentSettings { ReferenceLevelDb = referenceLevelDb },
        });
    }
}
