using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Commands;
using Acquire.Harness.Tests.Doubles;
using Acquire.Recordings;

namespace Acquire.Harness.Tests.Shell;

/// <summary>What replay is asked for and cannot do, or could do only by guessing, is refused by name.</summary>
public sealed class ReplayUsageTests : IDisposable
{
    private const string Meta = """{"global":{"core:datatype":"ru16_le","core:sample_rate":1000,"core:num_channels":2,"core:version":"1.2.5"EXTRA},"captures":[],"annotations":[]}""";

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("names a channel twice", "--vertical-channel=1,1")]
    [InlineData("add --mode time", "--time-span=10ms")]
    [InlineData("a floor needs levels", "--floor=through")]
    [InlineData("'-90' has no unit", "--floor=-90")]
    [InlineData("0.000001 to 1000000000", "--pace=0")]
    [InlineData("no value in the unit code; add --level", "--detector=average-power")]
    public void Replay_WhatCannotBe_IsRefusedByName(string said, string option)
    {
        (int code, string output, string error) = Run(Path.Combine(AcquireCommand.Data, "through"), "--bits", "12", option);

        Assert.Equal(ExitCode.Usage, code);
        Assert.Empty(output);
        Assert.StartsWith($"acquire: {option[..option.IndexOf('=', StringComparison.Ordinal)]}: ", error, StringComparison.Ordinal);
        Assert.Contains(said, error, StringComparison.Ordinal);
    }

    [Fact]
    public void Replay_EmptyName_IsRefused()
    {
        (int code, _, string error) = Run("");

        Assert.Equal(ExitCode.Usage, code);
        Assert.StartsWith("acquire: RECORDING: ", error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(4, ExitCode.Done)]
    [InlineData(99, ExitCode.CheckFailed)]
    public void Replay_OneSweepAsked_IsOneWhereThereIsNone(int number, int code) =>
        Assert.Equal(code, Run(Path.Combine(AcquireCommand.Data, "through"), "--bits", "12", "--sweep", $"{number}").Code);

    [Fact]
    public void Replay_OutputUnderTheSetupsName_IsRefusedThoughThereIsNoSetup()
    {
        string name = _folder.WriteRecording("bench", Meta.Replace("EXTRA", "", StringComparison.Ordinal), scans: 100);

        (int code, _, string error) = Run(name, "--jsonl", SetupFile.NameBeside(name));

        Assert.Equal(ExitCode.Usage, code);
        Assert.Contains("bench.setup.json", error, StringComparison.Ordinal);
        Assert.DoesNotContain("bench.setup.json", _folder.Names);
    }

    [Theory]
    [InlineData("", "12 bits")]
    [InlineData(""","acquire:bits":16""", "16 bits")]
    public void Replay_CodesBelowHalf_BitsAreGuessedOnlyWhereNobodySaysThem(string extra, string bits)
    {
        string name = _folder.WriteRecording("bench", Meta.Replace("EXTRA", extra, StringComparison.Ordinal), scans: 5_000);

        Assert.Contains($"2 channels, {bits}", Run(name).Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Replay_VoltsOfACodeThatNeverComes_HintsAtBits()
    {
        string name = _folder.WriteRecording("bench", Meta.Replace("EXTRA", "", StringComparison.Ordinal), scans: 5_000);

        Assert.Contains("add --bits 12", Run(name, "--ramp-volts=-5,5").Output, StringComparison.Ordinal);
        Assert.DoesNotContain("add --bits", Run(name, "--ramp-volts=-5,5", "--bits", "12").Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Replay_SetupWithLevelsOfNoVolts_IsNamed()
    {
        string name = _folder.WriteRecording("bench", Meta.Replace("EXTRA", "", StringComparison.Ordinal), scans: 5_000);
        string setup = _folder.Write("bench.setup.json", """{"verticals":[{"level":[{"volts":0,"levelDb":-100},{"volts":1,"levelDb":0}]}]}""");

        (int code, _, string error) = Run(name);

        Assert.Equal(ExitCode.Usage, code);
        Assert.StartsWith($"acquire: {setup}: verticals[0].level", error, StringComparison.Ordinal);
        Assert.Equal(ExitCode.Done, Run(name, "--vertical-volts=0,1").Code);
    }

    [Fact]
    public void Replay_OutputUnderTheNameOfTheMetadata_IsRefusedThoughTheDatasetHasAnotherName()
    {
        string meta = Meta.Replace("EXTRA", ",\"core:dataset\":\"payload.bin\"", StringComparison.Ordinal);
        string name = _folder.WriteRecording("bench", meta, scans: 100);
        File.Move(name + ".sigmf-data", Path.Combine(_folder.Path, "payload.bin"));

        (int code, _, string error) = Run(name, "--jsonl", name + ".sigmf-meta");

        Assert.Equal(ExitCode.Usage, code);
        Assert.Contains("is being read", error, StringComparison.Ordinal);
        Assert.Equal(meta, File.ReadAllText(name + ".sigmf-meta"));
    }

    [Theory]
    [InlineData("bench", "link.sigmf-data")]
    [InlineData("link", "bench.sigmf-data")]
    public void Replay_OutputIntoWhatIsReadByAnotherName_IsRefused(string read, string written)
    {
        string name = _folder.WriteRecording("bench", Meta.Replace("EXTRA", "", StringComparison.Ordinal), scans: 100);
        foreach (string extension in (string[])[".sigmf-meta", ".sigmf-data"])
            File.CreateSymbolicLink(Path.Combine(_folder.Path, "link" + extension), "bench" + extension);

        (int code, _, string error) = Run(Path.Combine(_folder.Path, read), "--jsonl", Path.Combine(_folder.Path, written));

        Assert.Equal(ExitCode.Usage, code);
        Assert.Contains("is being read", error, StringComparison.Ordinal);
        Assert.Equal(400, new FileInfo(name + ".sigmf-data").Length);
    }

    [Fact]
    public void Replay_FloatsThatAreNoNumbersOverStatedVolts_OnlyTheyAreLeftOut()
    {
        float[] words = [.. Enumerable.Range(0, 2_000).Select(i => i % 1_000 / 100f)];
        words[500] = float.NaN;
        string name = _folder.WriteRecording("bench", Meta.Replace("EXTRA", "", StringComparison.Ordinal).Replace("ru16_le", "rf32_le", StringComparison.Ordinal), scans: 0);
        File.WriteAllBytes(name + ".sigmf-data", System.Runtime.InteropServices.MemoryMarshal.AsBytes<float>(words).ToArray());
        using StringWriter output = new();

        HarnessProgram.Run(["inspect", name, "--ramp-volts=-10,10"], output, output, TestContext.Current.CancellationToken);

        Assert.Contains("not-a-number", output.ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain("codes-beyond-bits", output.ToString(), StringComparison.Ordinal);
    }

    private static (int Code, string Output, string Error) Run(params string[] args)
    {
        using StringWriter output = new(), error = new();
        int code = HarnessProgram.Run(["replay", .. args], output, error, TestContext.Current.CancellationToken);
        return (code, output.ToString(), error.ToString());
    }
}
