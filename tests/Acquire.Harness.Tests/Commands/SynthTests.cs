using System.Text.Json;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;
using Acquire.Recordings;

namespace Acquire.Harness.Tests.Commands;

public sealed class SynthTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Synth_Bench_WritesRecordingSetupAndTruth()
    {
        CommandResult result = AcquireCommand.RunIn(_folder.Path, "synth", "bandstop", "seed=5", "sweeps=3", "--out", "made").AssertDone();

        Assert.Contains("made", result.Output, StringComparison.Ordinal);
        Assert.Equal(["made.setup.json", "made.sigmf-data", "made.sigmf-meta", "made.truth.json"], _folder.Names);
        using RecordingReader recording = RecordingReader.Open(Path.Combine(_folder.Path, "made"));
        using JsonDocument truth = JsonDocument.Parse(File.ReadAllText(Path.Combine(_folder.Path, "made.truth.json")));
        Assert.Equal(truth.RootElement.GetProperty("recording").GetProperty("scans").GetInt64(), recording.ScanCount);
        Assert.Equal(12, recording.Bits);
    }

    [Fact]
    public void Synth_ThenReplay_FindsEverySweepOfTheTruthWithNoOptionAtAll()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "bandstop", "sweeps=4", "--out", "made").AssertDone();

        CommandResult replay = AcquireCommand.RunIn(_folder.Path, "replay", "made", "--jsonl").AssertDone();

        using JsonDocument truth = JsonDocument.Parse(File.ReadAllText(Path.Combine(_folder.Path, "made.truth.json")));
        JsonElement[] sweeps = [.. replay.Output.TrimEnd('\n').Split('\n').Select(line => JsonDocument.Parse(line).RootElement)];
        Assert.Equal(truth.RootElement.GetProperty("sweeps").GetArrayLength(), sweeps.Count(sweep => sweep.GetProperty("complete").GetBoolean()));
        Assert.All(sweeps, sweep => Assert.Equal("dB", sweep.GetProperty("unit").GetString()));
    }

    [Fact]
    public void Synth_SameSeed_GivesTheSameBytes()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "hum", "seed=9", "scans=5000", "--out", "one").AssertDone();
        AcquireCommand.RunIn(_folder.Path, "synth", "hum", "seed=9", "scans=5000", "--out", "two").AssertDone();

        Assert.Equal(File.ReadAllBytes(Path.Combine(_folder.Path, "one.sigmf-data")), File.ReadAllBytes(Path.Combine(_folder.Path, "two.sigmf-data")));
    }

    [Fact]
    public void Synth_Spec_IsReadFromAFile()
    {
        _folder.Write("bench.json", """{ "bench": "through", "scans": 2000, "seed": 3 }""");

        AcquireCommand.RunIn(_folder.Path, "synth", "--spec", "bench.json", "--out", "made").AssertDone();

        using RecordingReader recording = RecordingReader.Open(Path.Combine(_folder.Path, "made"));
        Assert.Equal(2_000, recording.ScanCount);
    }

    [Theory]
    [InlineData("harbour", "harbour")]
    [InlineData("bandstop", "seed=-1", "seed")]
    [InlineData("bandstop", "ramp.shape=odd", "shape")]
    [InlineData("bandstop", "scans=0", "first scan")]
    [InlineData("bandstop", "odd", "odd")]
    public void Synth_SettingThatIsNone_IsTwoAndLeavesNothing(params string[] settingsAndNamed)
    {
        CommandResult result = AcquireCommand.RunIn(_folder.Path, ["synth", .. settingsAndNamed[..^1], "--out", "made"]);

        result.AssertFailed(ExitCode.Usage, settingsAndNamed[^1]);
        Assert.Empty(_folder.Names);
    }

    [Theory]
    [InlineData("{ not json", ExitCode.Usage)]
    [InlineData("[1, 2]", ExitCode.Usage)]
    [InlineData("""{ "bench": 5 }""", ExitCode.Usage)]
    public void Synth_SpecThatIsNone_IsTwoAndNamesTheFile(string spec, int code)
    {
        _folder.Write("bench.json", spec);

        AcquireCommand.RunIn(_folder.Path, "synth", "--spec", "bench.json", "--out", "made").AssertFailed(code, "bench.json");
        Assert.Equal(["bench.json"], _folder.Names);
    }

    [Fact]
    public void Synth_WhereTheOutputCannotBe_IsThreeAndLeavesNothing()
    {
        Directory.CreateDirectory(Path.Combine(_folder.Path, "made.truth.json"));

        AcquireCommand.RunIn(_folder.Path, "synth", "through", "--out", "made").AssertFailed(ExitCode.Unreadable, "made.truth.json");
        AcquireCommand.RunIn(_folder.Path, "synth", "through", "--out", "missing/made").AssertFailed(ExitCode.Unreadable, "missing");
        Assert.Equal(["made.truth.json"], _folder.Names);
    }
}
