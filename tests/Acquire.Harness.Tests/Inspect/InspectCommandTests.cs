using System.Text.Json;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Commands;
using Acquire.Harness.Tests.Doubles;
using Acquire.Recordings;

namespace Acquire.Harness.Tests.Inspect;

public sealed class InspectCommandTests
{
    [Fact]
    public void Json_SimulatedBench_HasTheMembersOfTheContract()
    {
        using ScratchFolder folder = new();
        using JsonDocument document = Json(folder, "through", "--bits", "12");
        JsonElement root = document.RootElement;

        JsonElement recording = root.GetProperty("recording");
        Assert.Equal(190_000, recording.GetProperty("scans").GetInt64());
        Assert.Equal(100_000, recording.GetProperty("scanRate").GetDouble());
        Assert.Equal(2, recording.GetProperty("channels").GetInt32());
        Assert.Equal(1.9, recording.GetProperty("durationSeconds").GetDouble(), 1e-9);
        AssertHas(root.GetProperty("ramp"), "lowCode", "highCode", "noiseCodes", "direction", "clipped");
        AssertHas(root.GetProperty("accounting"), "scans", "inColumns", "overscan", "retrace", "rest", "blanked", "unassigned", "lost", "breaks");
        Assert.All(root.GetProperty("sweeps").EnumerateArray(), sweep => AssertHas(sweep,
            "number", "startScan", "endScan", "durationSeconds", "complete", "startReason", "endReason", "placement", "columnsFilled"));
        Assert.All(root.GetProperty("findings").EnumerateArray(), finding => AssertHas(finding,
            "finding", "severity", "count", "message", "cure", "atScan"));
        Assert.Equal(JsonValueKind.Array, root.GetProperty("gaps").ValueKind);
    }

    [Theory]
    [InlineData("through")]
    [InlineData("bandstop")]
    public void Json_SimulatedBench_FourWholeSweepsAndNoHumOrRipple(string name)
    {
        using ScratchFolder folder = new();
        using JsonDocument document = Json(folder, name, "--bits", "12");

        // A free-running ramp of 0.4 s with 40 ms of retrace; the simulation has no hum and 1.5 codes (4 mV) of noise on the ramp.
        JsonElement[] whole = [.. document.RootElement.GetProperty("sweeps").EnumerateArray().Where(s => s.GetProperty("complete").GetBoolean())];
        Assert.Equal(4, whole.Length);
        Assert.All(whole, sweep => Assert.InRange(sweep.GetProperty("durationSeconds").GetDouble(), 0.3995, 0.4005));
        JsonElement ramp = document.RootElement.GetProperty("ramp");
        Assert.InRange(ramp.GetProperty("noiseCodes").GetDouble(), 1.4, 1.6);
        Assert.Equal("rising", ramp.GetProperty("direction").GetString());
        Assert.DoesNotContain(Findings(document), f => f is "ramp-ripple" or "vertical-hum" or "line-locked-sweep" or "ramp-staircase" or "ramp-droops" or "ramp-spikes");
        Assert.DoesNotContain(document.RootElement.GetProperty("findings").EnumerateArray(), f => f.GetProperty("severity").GetString() == "error");
    }

    [Fact]
    public void Json_MoreSweepsThanAreListed_SaysHowManyAreLeftOutOrStreamsAll()
    {
        using ScratchFolder folder = new();
        // 10 100 sweeps of 40 scans with a flyback of 4: a staircase of 100 codes.
        byte[] data = new byte[10_100 * 44 * 4];
        for (int i = 0; i < data.Length / 4; i++)
        {
            int at = i % 44;
            BitConverter.TryWriteBytes(data.AsSpan(4 * i), (ushort)(at < 40 ? 40 + (100 * at) : 3_940 - (975 * (at - 40))));
            BitConverter.TryWriteBytes(data.AsSpan((4 * i) + 2), (ushort)(1_000 + (at * 7)));
        }

        string name = Path.Combine(folder.Path, "many");
        File.WriteAllBytes(name + ".sigmf-data", data);
        folder.Write("many.sigmf-meta", """
            { "global": { "core:datatype": "ru16_le", "core:sample_rate": 1000, "core:num_channels": 2, "core:version": "1.2.0" }, "captures": [], "annotations": [] }
            """);

        using JsonDocument some = Json(folder, name, "--bits", "12", "--columns", "20");
        using JsonDocument all = Json(folder, name, "--bits", "12", "--columns", "20", "--sweeps", "all");

        long left = some.RootElement.GetProperty("sweepsLeftOut").GetInt64();
        Assert.Equal(10_000, some.RootElement.GetProperty("sweeps").GetArrayLength());
        Assert.InRange(left, 90, 101);
        Assert.Equal(10_000 + left, all.RootElement.GetProperty("sweeps").GetArrayLength());
        Assert.Equal(0, all.RootElement.GetProperty("sweepsLeftOut").GetInt64());
    }

    [Fact]
    public void Json_GapInTheRecording_IsListed()
    {
        using ScratchFolder folder = new();
        folder.WriteRecording("holed", """
            { "global": { "core:datatype": "ru16_le", "core:sample_rate": 1000, "core:num_channels": 2, "core:version": "1.2.0" },
              "captures": [ { "core:sample_start": 0, "core:global_index": 0 }, { "core:sample_start": 5000, "core:global_index": 6500 } ], "annotations": [] }
            """, 20_000);

        using JsonDocument document = Json(folder, Path.Combine(folder.Path, "holed"));

        JsonElement gap = Assert.Single(document.RootElement.GetProperty("gaps").EnumerateArray().ToArray());
        Assert.Equal((5_000, 1_500, "file"), (gap.GetProperty("atScan").GetInt64(), gap.GetProperty("lostScans").GetInt64(), gap.GetProperty("cause").GetString()));
        Assert.Contains("gaps", Findings(document));
        Assert.Equal(1_500, document.RootElement.GetProperty("accounting").GetProperty("lost").GetInt64());
    }

    [Fact]
    public void Json_HalfAScanAtTheEnd_IsNamed()
    {
        using ScratchFolder folder = new();
        string name = folder.WriteRecording("short", """
            { "global": { "core:datatype": "ru16_le", "core:num_channels": 2, "core:version": "1.2.0" }, "captures": [], "annotations": [] }
            """, 20_000);
        using (FileStream data = new(name + ".sigmf-data", FileMode.Open)) data.SetLength(data.Length - 1);

        using JsonDocument document = Json(folder, name);

        Assert.Contains("recording-truncated", Findings(document));
        Assert.Contains("scan-rate-unknown", Findings(document));
        Assert.Equal(JsonValueKind.Null, document.RootElement.GetProperty("recording").GetProperty("scanRate").ValueKind);
    }

    [Fact]
    public void Run_Redirected_PlainTextOf80Columns()
    {
        string text = InProcess("inspect", Recording("through"), "--bits", "12");

        Assert.DoesNotContain('\u001b', text);
        Assert.All(text.Split('\n'), line => Assert.InRange(line.TrimEnd().Length, 0, 80));
        Assert.Contains("190,000 scans", text, StringComparison.Ordinal);
    }

    [Fact]
    public void WriteSetup_NoSetupBeside_GuessesAreMarkedAndItLoads()
    {
        using ScratchFolder folder = new();
        string path = Path.Combine(folder.Path, "guess.setup.json");

        InProcess("inspect", Recording("bandstop"), "--write-setup", path);
        SetupDocument document = SetupFile.LoadDocument(path);

        // Both recordings were made with 12 bits (their description); the file's words have 16.
        Assert.Equal(12, document.Setup.Scan.Bits);
        Assert.Contains("scan.bits", document.Guessed);
        Assert.Contains("scan.roles", document.Guessed);
    }

    [Fact]
    public void Sweeps_AnythingButAll_IsWrongUsage() =>
        AcquireCommand.Run("inspect", "through", "--sweeps", "7").AssertFailed(ExitCode.Usage, "--sweeps");

    [Theory]
    [InlineData("inspect", "through", "--json", "-")]
    [InlineData("inspect", "through", "--json")]
    public void Json_ToStandardOutput_NothingElseGoesThere(params string[] args)
    {
        CommandResult result = AcquireCommand.Run(args).AssertDone();

        using JsonDocument document = JsonDocument.Parse(result.Output);
        Assert.Equal(190_000, document.RootElement.GetProperty("accounting").GetProperty("scans").GetInt64());
    }

    private static string Recording(string name) => Path.Combine(AcquireCommand.Data, name);

    private static JsonDocument Json(ScratchFolder folder, string recording, params string[] more)
    {
        string path = Path.Combine(folder.Path, "inspect.json");
        InProcess(["inspect", Path.IsPathRooted(recording) ? recording : Recording(recording), "--json", path, .. more]);
        return JsonDocument.Parse(File.ReadAllText(path));
    }

    private static string InProcess(params string[] args)
    {
        using StringWriter output = new(), error = new();
        int code = HarnessProgram.Run(args, output, error, CancellationToken.None);
        Assert.True(code == ExitCode.Done, error.ToString());
        return output.ToString();
    }

    [Fact]
    public void Json_RampTurnedByHandAndSaidToBe_IsNotTakenForTheVertical()
    {
        using ScratchFolder folder = new();
        string name = Path.Combine(folder.Path, "turned");
        // Of this one the vertical goes down once, straight.
        InProcess("synth", "hand-turned", "seed=7", "sweeps=5", "--out", name);

        using JsonDocument document = Json(folder, name);

        Assert.DoesNotContain("channels-swapped", Findings(document));
    }

    private static string[] Findings(JsonDocument document) =>
        [.. document.RootElement.GetProperty("findings").EnumerateArray().Select(f => f.GetProperty("finding").GetString()!)];

    private static void AssertHas(JsonElement element, params string[] members) =>
        Assert.All(members, member => Assert.True(element.TryGetProperty(member, out _), $"No member {member} in {element}"));
}
