using System.Diagnostics;
using System.Text.Json;
using Acquire.Harness.Instrument;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;
using Acquire.Harness.Tests.Live;
using Acquire.Link;
using Acquire.Recordings;

namespace Acquire.Harness.Tests.Commands;

public sealed class CaptureTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private string In(string name) => Path.Combine(_folder.Path, name);

    [Fact]
    public void Capture_OfABench_IsTheRecordingThatSynthWrites()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "bandstop", "sweeps=3", "--out", "made").AssertDone();
        CommandResult result = AcquireCommand.RunIn(_folder.Path, "capture", "synth:bandstop?sweeps=3", "--out", "got").AssertDone();

        Assert.Equal(File.ReadAllBytes(In("made.sigmf-data")), File.ReadAllBytes(In("got.sigmf-data")));
        Assert.Contains("nothing lost", result.Output, StringComparison.Ordinal);
        Assert.Contains("Next: acquire replay got", result.Output, StringComparison.Ordinal);
        Assert.Empty(result.Error);
        AcquireCommand.RunIn(_folder.Path, "replay", "got").AssertDone();
    }

    [Fact]
    public void Capture_OfALossyFile_KeepsGapsAndBreaks()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "gaps", "seed=3", "--out", "made").AssertDone();
        AcquireCommand.RunIn(_folder.Path, "capture", "file:made", "--out", "got").AssertDone();

        Assert.Equal(Joints("made"), Joints("got"));
        Assert.NotEmpty(Joints("got"));
    }

    [Fact]
    public void Capture_ChannelsPicked_IsRefusedAndWritesNothing()
    {
        AcquireCommand.RunIn(_folder.Path, "capture", "synth:bandstop?sweeps=1", "--channels", "1,0", "--out", "got")
            .AssertFailed(ExitCode.Usage, "--channels: a capture keeps every channel");

        Assert.False(File.Exists(In("got.sigmf-meta")));
    }

    // The recording states the source's bits; a setup beside it that says others would have its codes read as they never were.
    [Fact]
    public void Capture_OtherBitsThanTheSource_IsRefusedAndWritesNothing()
    {
        AcquireCommand.RunIn(_folder.Path, "capture", "synth:bandstop?sweeps=1&bits=12", "--bits", "10", "--out", "got")
            .AssertFailed(ExitCode.Usage, "--bits: it says 10 but the source's codes have 12 bits");
        Assert.False(File.Exists(In("got.sigmf-meta")));

        AcquireCommand.RunIn(_folder.Path, "capture", "synth:bandstop?sweeps=1&bits=12", "--bits", "12", "--out", "got").AssertDone();
    }

    [Fact]
    public void Capture_Scans_EndsThereExactly()
    {
        AcquireCommand.RunIn(_folder.Path, "capture", "synth:bandstop", "--scans", "1234", "--out", "got").AssertDone();

        using RecordingReader reader = RecordingReader.Open(In("got"));
        Assert.Equal(1_234, reader.ScanCount);
        Assert.False(reader.IsUnfinished);
    }

    // A sweep that ends just before the stream does is in doubt until somebody says that no more comes.
    [Fact]
    public void Capture_EndsBehindASweep_CountsItAsTheReplayDoes()
    {
        using (RecordingWriter writer = new(In("made"), new RecordingWriterOptions { Bits = 12 }))
        {
            for (int i = 0; i < 920; i++) writer.Write([(ushort)(i < 900 ? 300 + (i * 3_500 / 900) : 3_800 - ((i - 900) * 35)), 2_000]);
            writer.Complete();
        }

        CommandResult capture = AcquireCommand.RunIn(_folder.Path, "capture", "file:made", "--out", "got").AssertDone();
        CommandResult replay = AcquireCommand.RunIn(_folder.Path, "replay", "got").AssertDone();

        Assert.Contains("1 sweep, 1 of them complete", replay.Output, StringComparison.Ordinal);
        Assert.Contains("1 complete sweep,", capture.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Capture_OfAFileWithWordsOfTheDevice_KeepsThem()
    {
        using (RecordingWriter writer = new(In("made"), new RecordingWriterOptions { Bits = 12 }))
        {
            writer.Write(new ushort[2 * 500]);
            writer.Annotate(new(0, 1, "mark", Mark: 3));
            writer.Annotate(new(200, 1, "mark", Mark: 4));
            writer.Annotate(new(300, 1, "device", "input open"));
            writer.Complete();
        }

        AcquireCommand.RunIn(_folder.Path, "capture", "file:made", "--out", "got").AssertDone();

        using RecordingReader reader = RecordingReader.Open(In("got"));
        Assert.Equal([(0L, (ushort?)3, "mark"), (200, 4, "mark"), (300, null, "device")], reader.Annotations.Select(a => (a.StartScan, a.Mark, a.Label)));
    }

    [Fact]
    public void Capture_DeviceBeginsAnewAtAnotherRate_GivesNoTimeForAllOfIt()
    {
        FrameBuffer bytes = new();
        foreach ((ushort run, double rateHz) in ((ushort, double)[])[(1, 20_000), (2, 50_000)])
        {
            LinkEncoder encoder = new(new LinkEncoderOptions { Description = new() { Scan = new() { ScanRateHz = rateHz } }, Run = run });
            encoder.WriteDescription(bytes);
            encoder.WriteScans(new ushort[2_000], bytes);
        }

        File.WriteAllBytes(In("both"), bytes.Written.ToArray());
        using Process process = AcquireCommand.StartWithInput(_folder.Path, In("both"), "capture", "stdin:", "--out", "got");
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();

        Assert.Contains("got: 2,000 scans at scan rates that differ, ", output, StringComparison.Ordinal);
        Assert.Contains("Written: got-0002.sigmf-data", output, StringComparison.Ordinal);
    }

    [Fact]
    public void Capture_Rotate_PartsFollowOnOneAnother()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "bandstop", "sweeps=3", "--out", "whole").AssertDone();
        AcquireCommand.RunIn(_folder.Path, "capture", "file:whole", "--rotate", "40kB", "--out", "part").AssertDone();

        byte[] joined = [.. Enumerable.Range(1, 3).SelectMany(part => File.ReadAllBytes(In($"part-000{part}.sigmf-data")))];
        Assert.Equal(File.ReadAllBytes(In("whole.sigmf-data"))[..joined.Length], joined);
        Assert.Equal(40_000, new FileInfo(In("part-0001.sigmf-data")).Length);
        using RecordingReader second = RecordingReader.Open(In("part-0002"));
        Assert.Equal(10_000, second.FirstIndex);
        AcquireCommand.RunIn(_folder.Path, "replay", "part-0002").AssertDone();
    }

    [Theory]
    [InlineData(ExitCode.Usage, "nowhere:x", "nowhere:x")]
    [InlineData(ExitCode.Unreadable, "not-there", "serial:not-there")]
    [InlineData(ExitCode.Unreadable, "not-there", "file:not-there")]
    [InlineData(ExitCode.Usage, "--raw", "synth:bandstop", "--raw")]
    [InlineData(ExitCode.Usage, "--rotate", "synth:bandstop", "--rotate", "5parsecs")]
    [InlineData(ExitCode.Usage, "16 kB or more", "synth:bandstop", "--rotate", "1B")]
    [InlineData(ExitCode.Usage, "1 s or more", "synth:bandstop", "--rotate", "10ms")]
    [InlineData(ExitCode.Usage, "--scans", "synth:bandstop", "--scans", "0")]
    [InlineData(ExitCode.Usage, "--for", "synth:bandstop", "--for", "0s")]
    [InlineData(ExitCode.Usage, "--flush", "synth:bandstop", "--flush", "1us")]
    public void Capture_WhatCannotBe_IsOneLineAndLeavesNothing(int code, string named, params string[] args)
    {
        AcquireCommand.RunIn(_folder.Path, ["capture", .. args, "--out", "got"]).AssertFailed(code, named);
        Assert.Empty(_folder.Names);
    }

    [Fact]
    public void Capture_IntoAFolderThatIsNone_IsThreeBeforeAnythingIsOpened() =>
        AcquireCommand.RunIn(_folder.Path, "capture", "synth:bandstop", "--out", "none/got").AssertFailed(ExitCode.Unreadable, "none");

    [Fact]
    public void Capture_Interrupted_IsStoppedAndWhole()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        foreach (Action<RunningCommand> stop in (Action<RunningCommand>[])[c => c.Interrupt(), c => c.Terminate()])
        {
            using NumberedSender sender = new(scansPerSecond: 100_000);
            using RunningCommand capture = RunningCommand.Start(_folder.Path, "capture", $"serial:{sender.Terminal}", "--out", "got", "--raw");
            WaitUntil(() => sender.Sent > 50_000);
            stop(capture);

            Assert.Equal(ExitCode.Stopped, capture.WaitForExit());
            using RecordingReader reader = RecordingReader.Open(In("got"));
            Assert.False(reader.IsUnfinished);
            (long scans, _) = NumberedRecording.AssertInPlace([In("got")]);
            Assert.True(scans > 10_000, $"{scans} scans");
            AcquireCommand.RunIn(_folder.Path, "inspect", "got.raw").AssertDone();
        }
    }

    [Theory]
    [InlineData]
    [InlineData("--raw")]
    public void Capture_TwoAtOnceUnderOneName_OneRecordsAndTheOtherIsRefused(params string[] more)
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        using NumberedSender first = new(scansPerSecond: 50_000), second = new(scansPerSecond: 50_000);
        using RunningCommand a = RunningCommand.Start(_folder.Path, ["capture", $"serial:{first.Terminal}", "--out", "got", .. more]);
        using RunningCommand b = RunningCommand.Start(_folder.Path, ["capture", $"serial:{second.Terminal}", "--out", "got", .. more]);
        WaitUntil(() => a.HasExited || b.HasExited);
        (RunningCommand refused, RunningCommand going, NumberedSender heard) = a.HasExited ? (a, b, second) : (b, a, first);
        WaitUntil(() => heard.Sent > 100_000);
        going.Interrupt();

        Assert.Equal((ExitCode.Unreadable, ExitCode.Stopped), (refused.WaitForExit(), going.WaitForExit()));
        Assert.Contains("another program", refused.Error, StringComparison.Ordinal);
        using (RecordingReader reader = RecordingReader.Open(In("got"))) Assert.False(reader.IsUnfinished);
        Assert.True(NumberedRecording.AssertInPlace([In("got")]).Scans > 10_000);
        if (more.Length == 0) return;
        using JsonDocument raw = JsonDocument.Parse(AcquireCommand.RunIn(_folder.Path, "inspect", "got.raw", "--json", "-").AssertDone().Output);
        Assert.Equal(0, raw.RootElement.GetProperty("link").GetProperty("resets").GetInt64());
    }

    [Fact]
    public void Capture_ThatComesLate_IsOneRecordingWithWhatTheDeviceSaysLater()
    {
        FrameBuffer bytes = new();
        LinkEncoder encoder = new(new LinkEncoderOptions { Description = new() { Scan = new() { ScanRateHz = 50_000 }, Device = "late" }, FirstPosition = 1_000 });
        encoder.WriteScans(new ushort[2_000], bytes);
        encoder.WriteDescription(bytes);
        encoder.WriteScans(new ushort[2_000], bytes);
        File.WriteAllBytes(In("late"), bytes.Written.ToArray());
        using Process process = AcquireCommand.StartWithInput(_folder.Path, In("late"), "capture", "stdin:", "--out", "got");
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();

        Assert.Equal(0, process.ExitCode);
        Assert.Contains("50,000 scans/s", output, StringComparison.Ordinal);
        using RecordingReader reader = RecordingReader.Open(In("got"));
        Assert.Equal((2_000, 50_000.0, "late"), (reader.ScanCount, reader.ScanRateHz, reader.Hardware));
        Assert.Equal(["got.setup.json", "got.sigmf-data", "got.sigmf-meta", "late"], _folder.Names);
    }

    [Fact]
    public void Capture_Unplugged_KeepsWhatCameAndSaysSo()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        using NumberedSender sender = new(scansPerSecond: 100_000);
        using RunningCommand capture = RunningCommand.Start(_folder.Path, "capture", $"serial:{sender.Terminal}?replug=no", "--out", "got");
        WaitUntil(() => sender.Sent > 50_000);
        sender.HangUp();

        Assert.Equal(ExitCode.Unreadable, capture.WaitForExit());
        Assert.StartsWith("acquire: serial:", capture.Error, StringComparison.Ordinal);
        (long scans, _) = NumberedRecording.AssertInPlace([In("got")]);
        Assert.True(scans > 10_000, $"{scans} scans");
        using RecordingReader reader = RecordingReader.Open(In("got"));
        Assert.False(reader.IsUnfinished);
    }

    [Fact]
    public void Capture_FolderRemoved_StopsAndSaysSo()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        Directory.CreateDirectory(In("going"));
        using NumberedSender sender = new(scansPerSecond: 100_000);
        using RunningCommand capture = RunningCommand.Start(_folder.Path, "capture", $"serial:{sender.Terminal}", "--out", "going/got");
        WaitUntil(() => sender.Sent > 50_000);
        Directory.Move(In("going"), In("gone"));

        Assert.Equal(ExitCode.Unreadable, capture.WaitForExit());
        Assert.Contains("is gone", capture.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("Written:", capture.Output, StringComparison.Ordinal);

        // What was written is where the folder is now.
        (long scans, _) = NumberedRecording.AssertInPlace([In("gone/got")]);
        Assert.True(scans > 10_000, $"{scans} scans");
    }

    [Fact]
    public void Capture_DiskFull_StopsKeepsWhatWasWrittenAndSaysSo()
    {
        using SmallDisk disk = new(In("disk"), "size=2m");

        CommandResult result = AcquireCommand.RunIn(_folder.Path, "capture", "synth:bandstop?sweeps=1000", "--out", "disk/got");

        Assert.Equal(ExitCode.Unreadable, result.ExitCode);
        Assert.StartsWith("acquire: disk/got", result.Error, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', result.Error.TrimEnd('\n'));
        using RecordingReader reader = RecordingReader.Open(In("disk/got"));
        Assert.InRange(reader.ScanCount, 100_000, 524_288);
        Assert.Contains($"{reader.ScanCount:N0} scans", result.Output, StringComparison.Ordinal);
        AcquireCommand.RunIn(_folder.Path, "replay", "disk/got").AssertDone();
    }

    [Fact]
    public void Capture_Raw_IsTheBytesAsTheyCame()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "bandstop", "sweeps=3", "--link", "--out", "sent.link", "--bit-errors", "1e-5").AssertDone();
        using Process process = AcquireCommand.StartWithInput(_folder.Path, In("sent.link"), "capture", "stdin:", "--out", "got", "--raw");
        process.WaitForExit();

        Assert.Equal(0, process.ExitCode);
        Assert.Equal(File.ReadAllBytes(In("sent.link")), File.ReadAllBytes(In("got.raw")));
        using JsonDocument seen = JsonDocument.Parse(AcquireCommand.RunIn(_folder.Path, "inspect", "got.raw", "--json").AssertDone().Output);
        using RecordingReader reader = RecordingReader.Open(In("got"));
        Assert.Equal(reader.ScanCount, seen.RootElement.GetProperty("link").GetProperty("scans").GetInt64());
    }

    [Fact]
    public void Capture_OfNoise_KeepsTheBytesAndSaysWhereToLook()
    {
        File.WriteAllBytes(In("noise"), [.. Enumerable.Range(0, 5_000).Select(i => (byte)(i * 31 % 251))]);
        using Process process = AcquireCommand.StartWithInput(_folder.Path, In("noise"), "capture", "stdin:", "--out", "got", "--raw");
        string error = process.StandardError.ReadToEnd();
        process.WaitForExit();

        Assert.Equal(ExitCode.Unreadable, process.ExitCode);
        Assert.Contains("acquire inspect got.raw", error, StringComparison.Ordinal);
        Assert.Equal(["got.raw", "noise"], _folder.Names);
    }

    [Theory]
    [InlineData("stdin:", true)]
    [InlineData("stdin:?decoder=words&channels=2&bits=12", false)]
    public void Capture_NothingCame_AsksForTheLinkProtocolOnlyWhereItIsSpoken(string source, bool asks)
    {
        File.WriteAllBytes(In("nothing"), []);
        using Process process = AcquireCommand.StartWithInput(_folder.Path, In("nothing"), "capture", source, "--out", "got");
        string error = process.StandardError.ReadToEnd();
        process.WaitForExit();

        Assert.Equal(ExitCode.Unreadable, process.ExitCode);
        Assert.Contains("no scan came", error, StringComparison.Ordinal);
        Assert.Equal(asks, error.Contains("link protocol", StringComparison.Ordinal));
    }

    [Fact]
    public void Capture_TextOfTheDevice_IsEscaped()
    {
        FrameBuffer bytes = new();
        LinkEncoder encoder = new(new LinkEncoderOptions { Description = new() { Device = "dev\u001b[2Jice" } });
        encoder.WriteDescription(bytes);
        encoder.WriteScans(new ushort[200], bytes);
        encoder.WriteText("bye\a\u009b31m\nacquire: done", bytes);
        encoder.WriteEnd(bytes);
        File.WriteAllBytes(In("rude"), bytes.Written.ToArray());
        using Process process = AcquireCommand.StartWithInput(_folder.Path, In("rude"), "capture", "stdin:", "--out", "got");
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();

        Assert.Contains(@"dev\u001b[2Jice", output, StringComparison.Ordinal);
        Assert.Contains(@"bye\u0007\u009b31m\u000aacquire: done", output, StringComparison.Ordinal);
        Assert.DoesNotContain(output + File.ReadAllText(In("got.sigmf-meta")), c => char.IsControl(c) && c is not '\n');

        // Sheets and tables of the recording, too.
        string svg = In("got.svg");
        CommandResult replay = AcquireCommand.RunIn(_folder.Path, "replay", "got", "--svg", svg);
        Assert.DoesNotContain(replay.Output, c => char.IsControl(c) && c is not '\n');
        if (File.Exists(svg)) Assert.DoesNotContain(File.ReadAllText(svg), c => char.IsControl(c) && c is not '\n');
    }

    private string Joints(string name)
    {
        using RecordingReader reader = RecordingReader.Open(In(name));
        ushort[] words = new ushort[4_096 * reader.ChannelCount];
        List<string> joints = [];
        while (reader.Read(words) is { Kind: not RecordingReadKind.End } read)
            if (read.Kind != RecordingReadKind.Scans) joints.Add($"{reader.Position}:{read.LostScans}");
        return string.Join(' ', joints);
    }

    private static void WaitUntil(Func<bool> condition) =>
        Assert.True(SpinWait.SpinUntil(condition, TimeSpan.FromSeconds(30)), "It did not come to that within 30 s.");
}
