using System.Diagnostics;
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

    [Fact]
    public void Capture_NoRoomForOneMoreFile_SaysSoAndLeavesNoHalfOfARecording()
    {
        string disk = Directory.CreateDirectory(In("disk")).FullName;
        Assert.SkipUnless(Shell("mount", "-t", "tmpfs", "-o", "size=2m,nr_inodes=3", "tmpfs", disk) == 0, "This user may not mount a small disk.");
        try
        {
            AcquireCommand.RunIn(_folder.Path, "capture", "synth:bandstop?sweeps=1", "--out", "disk/got")
                .AssertFailed(ExitCode.Unreadable, "disk/got could not be written: No space left on device; free space, or name another folder.");
            Assert.False(File.Exists(In("disk/got.sigmf-meta")));
        }
        finally
        {
            Shell("umount", disk);
        }
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

    private static int Shell(string command, params string[] args)
    {
        try
        {
            using Process process = Process.Start(new ProcessStartInfo(command, args) { RedirectStandardError = true })!;
            process.WaitForExit();
            return process.ExitCode;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return -1;
        }
    }
}
