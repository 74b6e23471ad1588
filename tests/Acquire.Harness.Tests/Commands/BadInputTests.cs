using System.Diagnostics;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Commands;

/// <summary>Whatever is fed to the command: one line that names the thing, the right code, nothing half written.</summary>
public sealed class BadInputTests : IDisposable
{
    private const string GoodMeta = """
        {"global":{"core:datatype":"ru16_le","core:sample_rate":1000,"core:num_channels":2,"core:version":"1.2.0"},"captures":[{"core:sample_start":0}],"annotations":[]}
        """;

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("not json", "{ this is not JSON")]
    [InlineData("empty", "")]
    [InlineData("an array", "[]")]
    [InlineData("no datatype", """{"global":{"core:version":"1.2.0"},"captures":[],"annotations":[]}""")]
    [InlineData("a number for the datatype", """{"global":{"core:datatype":5,"core:version":"1.2.0"},"captures":[],"annotations":[]}""")]
    [InlineData("an unknown datatype", """{"global":{"core:datatype":"ru99_le","core:version":"1.2.0"},"captures":[],"annotations":[]}""")]
    [InlineData("complex words", """{"global":{"core:datatype":"ci16_le","core:version":"1.2.0"},"captures":[],"annotations":[]}""")]
    [InlineData("a rate of zero", """{"global":{"core:datatype":"ru16_le","core:sample_rate":0,"core:num_channels":2,"core:version":"1.2.0"},"captures":[],"annotations":[]}""")]
    [InlineData("a rate that is no number", """{"global":{"core:datatype":"ru16_le","core:sample_rate":"NaN","core:num_channels":2,"core:version":"1.2.0"},"captures":[],"annotations":[]}""")]
    [InlineData("a rate beyond doubles", """{"global":{"core:datatype":"ru16_le","core:sample_rate":1e999,"core:num_channels":2,"core:version":"1.2.0"},"captures":[],"annotations":[]}""")]
    [InlineData("no channels", """{"global":{"core:datatype":"ru16_le","core:num_channels":0,"core:version":"1.2.0"},"captures":[],"annotations":[]}""")]
    [InlineData("a billion channels", """{"global":{"core:datatype":"ru16_le","core:num_channels":1000000000,"core:version":"1.2.0"},"captures":[],"annotations":[]}""")]
    [InlineData("unsorted captures", """{"global":{"core:datatype":"ru16_le","core:num_channels":2,"core:version":"1.2.0"},"captures":[{"core:sample_start":50},{"core:sample_start":0}],"annotations":[]}""")]
    [InlineData("header bytes beyond the file", """{"global":{"core:datatype":"ru16_le","core:num_channels":2,"core:version":"1.2.0"},"captures":[{"core:sample_start":0,"core:header_bytes":1000000}],"annotations":[]}""")]
    [InlineData("a required unknown extension", """{"global":{"core:datatype":"ru16_le","core:num_channels":2,"core:version":"1.2.0","core:extensions":[{"name":"harbour","version":"1.0.0","optional":false}]},"captures":[],"annotations":[]}""")]
    public void Replay_DamagedMetadata_IsThree(string what, string meta)
    {
        string name = _folder.WriteRecording("damaged", meta, scans: 100);

        CommandResult result = AcquireCommand.RunIn(_folder.Path, "replay", name, "--jsonl", "lines.jsonl");

        result.AssertFailed(ExitCode.Unreadable, "damaged");
        Assert.True(_folder.Names.SequenceEqual(["damaged.sigmf-data", "damaged.sigmf-meta"]), $"With {what} these files were left: {string.Join(", ", _folder.Names)}");
    }

    [Fact]
    public void Replay_LinksNamedWithoutAFolder_AreFollowedFromWhereTheyLie()
    {
        _folder.WriteRecording("bench", GoodMeta, scans: 100);
        File.CreateSymbolicLink(Path.Combine(_folder.Path, "link.sigmf-meta"), "empty");
        File.CreateSymbolicLink(Path.Combine(_folder.Path, "link.jsonl"), "lines.jsonl");
        _folder.Write("empty", "");

        CommandResult unreadable = AcquireCommand.RunIn(_folder.Path, "replay", "link");
        CommandResult written = AcquireCommand.RunIn(_folder.Path, "replay", "bench", "--jsonl", "link.jsonl");

        unreadable.AssertFailed(ExitCode.Unreadable, "not an ordinary file");
        written.AssertDone();
        Assert.Contains("lines.jsonl", _folder.Names);
    }

    [Fact]
    public void Replay_MetadataNestedDeep_IsThreeAtOnce()
    {
        string name = _folder.WriteRecording("deep", new string('[', 100_000), scans: 100);

        AcquireCommand.Run("replay", name).AssertFailed(ExitCode.Unreadable, "deep");
    }

    [Fact]
    public void Replay_OneChannel_IsRefusedByName()
    {
        string name = _folder.WriteRecording("one", GoodMeta.Replace("\"core:num_channels\":2", "\"core:num_channels\":1", StringComparison.Ordinal), scans: 100);

        AcquireCommand.Run("replay", name).AssertFailed(ExitCode.Usage, "one.sigmf-data");
    }

    [Fact]
    public void Replay_NoScans_IsThree()
    {
        string name = _folder.WriteRecording("none", GoodMeta, scans: 0);

        AcquireCommand.Run("replay", name).AssertFailed(ExitCode.Unreadable, "none");
    }

    [Fact]
    public void Replay_HalfAScanAtTheEnd_IsReadUpToThere()
    {
        string name = _folder.WriteRecording("cut", GoodMeta, scans: 100);
        using (FileStream data = new(name + ".sigmf-data", FileMode.Open)) data.SetLength(399);

        CommandResult result = AcquireCommand.Run("replay", name).AssertDone();

        Assert.Contains("99 scans", result.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(".sigmf-data")]
    [InlineData(".sigmf-meta")]
    public void Replay_OneOfThePairIsMissing_IsThree(string missing)
    {
        string name = _folder.WriteRecording("pair", GoodMeta, scans: 100);
        File.Delete(name + missing);

        AcquireCommand.Run("replay", name).AssertFailed(ExitCode.Unreadable, "pair" + missing);
    }

    [Fact]
    public void Replay_NoSuchRecording_IsThree() =>
        AcquireCommand.RunIn(_folder.Path, "replay", "nothing").AssertFailed(ExitCode.Unreadable, "nothing");

    [Fact]
    public void Replay_LinkThatLeadsToItself_IsThree()
    {
        string loop = Path.Combine(_folder.Path, "loop.sigmf-meta");
        File.CreateSymbolicLink(loop, loop);

        AcquireCommand.Run("replay", loop).AssertFailed(ExitCode.Unreadable, "loop");
    }

    [Theory]
    [InlineData("--csv", "missing/out.csv", "missing")]
    [InlineData("--jsonl", ".", ".")]
    public void Replay_OutputThatCannotBeWritten_IsThreeAndNamesIt(string option, string path, string named)
    {
        string name = _folder.WriteRecording("good", GoodMeta, scans: 100);

        AcquireCommand.RunIn(_folder.Path, "replay", name, option, path).AssertFailed(ExitCode.Unreadable, named);
        Assert.Equal(["good.sigmf-data", "good.sigmf-meta"], _folder.Names);
    }

    [Fact]
    public void Replay_OutputToAFullDevice_IsThree()
    {
        if (!File.Exists("/dev/full")) Assert.Skip("There is no device that is always full on this system.");
        string name = _folder.WriteRecording("good", GoodMeta, scans: 100);

        AcquireCommand.Run("replay", name, "--csv", "/dev/full", "--sweep", "all").AssertFailed(ExitCode.Unreadable, "/dev/full");
    }

    [Fact]
    public void Inspect_StandardOutputOnAFullDevice_IsThreeAndSaysWhatToDo()
    {
        if (!File.Exists("/dev/full")) Assert.Skip("There is no device that is always full on this system.");
        string name = _folder.WriteRecording("good", GoodMeta, scans: 100);

        (int code, string error) = InShell("inspect \"$1\" > /dev/full", name);

        Assert.Equal(ExitCode.Unreadable, code);
        Assert.Contains("standard output", Assert.Single(error.Split('\n', StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
        Assert.Contains("free space", error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--help")]
    [InlineData("--version")]
    [InlineData("replay --help")]
    public void Help_StandardOutputOnAFullDevice_IsThreeAndSaysWhatToDo(string asked)
    {
        if (!File.Exists("/dev/full")) Assert.Skip("There is no device that is always full on this system.");

        Assert.Equal((ExitCode.Unreadable, "acquire: standard output: could not be written: No space left on device; free space, or send it elsewhere\n"), InShell(asked + " > /dev/full"));
        Assert.Equal((ExitCode.Unreadable, "acquire: standard output: is closed; leave it open, or name a file\n"), InShell(asked + " >&-"));
    }

    // As 4 GiB on many memory cards: told of as a wrong argument by the platform.
    [Theory]
    [InlineData("capture 'synth:bandstop?sweeps=100' --out large")]
    [InlineData("synth bandstop sweeps=100 --out large")]
    [InlineData("synth bandstop sweeps=100 --link --out - > large")]
    public void Output_FileLargerThanAllowed_IsThreeAndSaysWhatToDo(string command)
    {
        if (!OperatingSystem.IsLinux()) Assert.Skip("A shell sets no such limit on other systems.");

        // 512 bytes a unit. Without the signal, and without the runtime's own memory files, which the limit holds for as well.
        (int code, string error) = InShell(command, $"cd '{_folder.Path}'; export DOTNET_EnableWriteXorExecute=0; trap '' XFSZ; ulimit -f 200; ", []);

        Assert.Equal(ExitCode.Unreadable, code);
        Assert.Contains("File too large; the file system or a limit allows no larger file: write less into one, or", Assert.Single(error.Split('\n', StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("2> /dev/full")]
    [InlineData("2>&-")]
    public void Replay_StandardErrorThatTakesNothing_StillGivesItsCode(string redirection)
    {
        if (!File.Exists("/dev/full")) Assert.Skip("There is no device that is always full on this system.");

        Assert.Equal(ExitCode.Unreadable, InShell("replay nowhere " + redirection).Code);
    }

    [Fact]
    public void Inspect_StandardOutputClosed_IsThreeAndSaysWhatToDo()
    {
        if (!OperatingSystem.IsLinux()) Assert.Skip("A shell closes descriptors otherwise on other systems.");
        string name = _folder.WriteRecording("good", GoodMeta, scans: 100);

        (int code, string error) = InShell("inspect \"$1\" >&-", name);

        Assert.Equal(ExitCode.Unreadable, code);
        Assert.Contains("standard output: is closed", Assert.Single(error.Split('\n', StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
    }

    [Fact]
    public void Inspect_PipeInPlaceOfLinkBytes_DoesNotWaitForAWriter()
    {
        if (!OperatingSystem.IsLinux()) Assert.Skip("Pipes with names are made by a tool of this system only.");
        using Process make = Process.Start("mkfifo", Path.Combine(_folder.Path, "line.raw"));
        make.WaitForExit();
        Assert.Equal(0, make.ExitCode);

        CommandResult result = AcquireCommand.RunIn(_folder.Path, "inspect", "line.raw").AssertDone();

        Assert.Contains("link-no-frames", result.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("--csv", "good.sigmf-data")]
    [InlineData("--json", "good.sigmf-meta")]
    public void Replay_OutputOverTheInput_IsRefused(string option, string path)
    {
        string name = _folder.WriteRecording("good", GoodMeta, scans: 100);

        AcquireCommand.RunIn(_folder.Path, "replay", name, option, path).AssertFailed(ExitCode.Usage, option);
    }

    [Fact]
    public void Replay_TwoOutputsInOnePlace_IsRefused()
    {
        string name = _folder.WriteRecording("good", GoodMeta, scans: 100);

        AcquireCommand.RunIn(_folder.Path, "replay", name, "--json", "-", "--jsonl", "-").AssertFailed(ExitCode.Usage, "--jsonl");
        AcquireCommand.RunIn(_folder.Path, "replay", name, "--csv", "./a", "--json", "a").AssertFailed(ExitCode.Usage, "--csv");
    }

    [Theory]
    [InlineData("{ not json")]
    [InlineData("""{ "columns": { "columnCount": "many" } }""")]
    [InlineData("[]")]
    [InlineData("""{ "verticals": [ { "volts": { "atCodeZero": 1, "atFullCode": 0 }, "level": [ { "volts": 0, "levelDb": -90 }, { "volts": 1, "levelDb": 0 } ], "up": "codes-rise" } ] }""")]
    [InlineData("""{ "verticals": [ { "volts": { "atCodeZero": 0, "atFullCode": 2000000 } } ] }""")]
    public void Replay_SetupFileThatIsNone_IsTwo(string setup)
    {
        string name = _folder.WriteRecording("good", GoodMeta, scans: 100);
        _folder.Write("good.setup.json", setup);

        AcquireCommand.Run("replay", name).AssertFailed(ExitCode.Usage, "good.setup.json");
    }

    [Fact]
    public void Replay_NoSuchSetupFile_IsThree()
    {
        string name = _folder.WriteRecording("good", GoodMeta, scans: 100);

        AcquireCommand.RunIn(_folder.Path, "replay", name, "--setup", "other.json").AssertFailed(ExitCode.Unreadable, "other.json");
    }

    [Theory]
    [InlineData("--columns", "0")]
    [InlineData("--columns", "1000000000")]
    [InlineData("--ramp-volts", "NaN,5")]
    [InlineData("--sweep", "-1")]
    [InlineData("--sweep", "first")]
    [InlineData("--average", "0")]
    [InlineData("--average", "100000")]
    [InlineData("--average", "2000000000")]
    [InlineData("--pace", "0")]
    [InlineData("--detector", "best")]
    [InlineData("--unit", "furlong")]
    [InlineData("--marker", "here")]
    [InlineData("--bandwidth", "wide")]
    [InlineData("--bandwidth", "3")]
    public void Replay_ValueThatIsNone_IsTwoAndNamesTheOption(string option, string value)
    {
        string name = _folder.WriteRecording("good", GoodMeta, scans: 100);

        AcquireCommand.Run("replay", name, $"{option}={value}").AssertFailed(ExitCode.Usage, option);
    }

    [Theory]
    [InlineData("--unit=V", "--vertical-volts")]
    [InlineData("--unit=level", "--level")]
    [InlineData("--marker=24kHz", "--axis")]
    [InlineData("--bandwidth=-3.01", "--level")]
    [InlineData("--pace=1", "--pace")]
    public void Replay_WhatNeedsAScale_IsRefusedWithTheMissingOptionNamed(string asked, string missing)
    {
        string name = _folder.WriteRecording("bare", GoodMeta.Replace("\"core:sample_rate\":1000,", "", StringComparison.Ordinal), scans: 100);

        AcquireCommand.Run("replay", name, asked).AssertFailed(ExitCode.Usage, missing);
    }

    // With standard streams as a shell redirects them.
    private static (int Code, string Error) InShell(string command, params string[] arguments) => InShell(command, "", arguments);

    private static (int Code, string Error) InShell(string command, string before, string[] arguments)
    {
        string[] words = ["-c", before + "exec dotnet \"$0\" " + command, Path.Combine(AppContext.BaseDirectory, "Acquire.Harness.dll"), .. arguments];
        using Process process = Process.Start(new ProcessStartInfo("sh", words) { RedirectStandardError = true })!;
        string error = process.StandardError.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, error);
    }
}
