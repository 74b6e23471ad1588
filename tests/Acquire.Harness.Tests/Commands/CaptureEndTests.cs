using Acquire.Harness.Instrument;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;
using Acquire.Harness.Tests.Live;
using Acquire.Recordings;

namespace Acquire.Harness.Tests.Commands;

/// <summary>How a capture ends when something outside ends it, and what others may do to it meanwhile.</summary>
public sealed class CaptureEndTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public CaptureEndTests() => Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals, signals and limits as they are on Linux.");

    public void Dispose() => _folder.Dispose();

    private string In(string name) => Path.Combine(_folder.Path, name);

    // What a closed terminal and a broken line to another computer send.
    [Fact]
    public void Capture_TerminalClosed_IsStoppedAndWhole()
    {
        using NumberedSender sender = new(scansPerSecond: 100_000);
        using RunningCommand capture = Begin(sender);
        capture.HangUp();

        Assert.Equal(ExitCode.Stopped, capture.WaitForExit());
        using RecordingReader reader = RecordingReader.Open(In("got"));
        Assert.False(reader.IsUnfinished);
        Assert.Contains($"{reader.ScanCount:N0} scans", capture.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Capture_StoppedBeforeAScanCame_SaysThatNoneCame()
    {
        using PseudoTerminal silent = new();
        using RunningCommand capture = RunningCommand.Start(_folder.Path, "capture", $"serial:{silent.Name}", "--out", "got");
        WaitUntil(() => silent.IsOpen);
        capture.Interrupt();

        Assert.Equal(ExitCode.Stopped, capture.WaitForExit());
        Assert.StartsWith($"acquire: serial:{silent.Name}: no scan came;", capture.Error, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', capture.Error.TrimEnd('\n'));
        Assert.Empty(_folder.Names);
    }

    // Blocks of 1,024 bytes; "ulimit -f" as a shell or a service manager sets it.
    [Theory]
    [InlineData("ulimit -f 200")]
    [InlineData("ulimit -f 200; exec >&-")]
    public void Capture_BeyondTheLimitOfFiles_KeepsWhatWasWrittenAndSaysSo(string shell)
    {
        CommandResult result = AcquireCommand.RunBehind(shell, _folder.Path, "capture", "synth:bandstop?sweeps=100", "--out", "got");

        Assert.Equal(ExitCode.Unreadable, result.ExitCode);
        Assert.Equal("acquire: got could not be written: File too large; the file system or a limit allows no larger file: write less into one, or name another folder.\n", result.Error);
        using RecordingReader reader = RecordingReader.Open(In("got"));
        Assert.Equal(200 * 1_024 / 4, reader.ScanCount);
    }

    [Fact]
    public void Synth_BeyondTheLimitOfFiles_LeavesNothingAndSaysSo()
    {
        AcquireCommand.RunBehind("ulimit -f 20", _folder.Path, "synth", "bandstop", "sweeps=100", "--out", "made").AssertFailed(ExitCode.Unreadable, "File too large");
        Assert.Empty(_folder.Names);
    }

    [Fact]
    public void Capture_NoRoomForOneMoreFile_SaysSoAndLeavesNoHalfOfARecording()
    {
        using SmallDisk disk = new(In("disk"), "size=2m,nr_inodes=3");

        AcquireCommand.RunIn(_folder.Path, "capture", "synth:bandstop?sweeps=1", "--out", "disk/got")
            .AssertFailed(ExitCode.Unreadable, "disk/got could not be written: No space left on device; free space, or name another folder.");
        Assert.False(File.Exists(In("disk/got.sigmf-meta")));
    }

    [Fact]
    public void Outputs_UnderTheNamesOfACaptureUnderWay_AreRefused()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "through", "sweeps=2", "--out", "other").AssertDone();
        using NumberedSender sender = new(scansPerSecond: 50_000);
        using RunningCommand capture = Begin(sender, "--raw");

        foreach (string[] args in (string[][])
        [
            ["replay", "other", "--csv", "got.sigmf-data"], ["replay", "other", "--jsonl", "got.sigmf-meta"], ["inspect", "other", "--json", "got.sigmf-data"],
            ["synth", "through", "sweeps=1", "--link", "--out", "got.sigmf-data"], ["synth", "through", "sweeps=1", "--link", "--out", "got.raw"],
        ])
        {
            AcquireCommand.RunIn(_folder.Path, args).AssertFailed(ExitCode.Unreadable, "another program");
        }

        capture.Interrupt();
        Assert.Equal(ExitCode.Stopped, capture.WaitForExit());
        using RecordingReader reader = RecordingReader.Open(In("got"));
        Assert.False(reader.IsUnfinished);
        Assert.True(NumberedRecording.AssertInPlace([In("got")]).Scans > 10_000);
        AcquireCommand.RunIn(_folder.Path, "inspect", "got.raw").AssertDone();
    }

    private RunningCommand Begin(NumberedSender sender, params string[] more)
    {
        RunningCommand capture = RunningCommand.Start(_folder.Path, ["capture", $"serial:{sender.Terminal}", "--out", "got", .. more]);
        WaitUntil(() => File.Exists(In("got.sigmf-data")) && new FileInfo(In("got.sigmf-data")).Length > 50_000);
        return capture;
    }

    private static void WaitUntil(Func<bool> condition) =>
        Assert.True(SpinWait.SpinUntil(condition, TimeSpan.FromSeconds(60)), "It did not happen within 60 s.");
}
