using System.Text.Json;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;
using Acquire.Link;
using Acquire.Recordings;

namespace Acquire.Harness.Tests.Commands;

public sealed class SynthLinkTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("bandstop", "sweeps=2")]
    [InlineData("hum", "seed=3", "bits=14", "scans=20000")]
    public void Link_Bytes_DecodeToTheScansOfTheRecording(params string[] bench)
    {
        AcquireCommand.RunIn(_folder.Path, ["synth", .. bench, "--out", "made"]).AssertDone();
        CommandResult result = AcquireCommand.RunIn(_folder.Path, ["synth", .. bench, "--link", "--out", "bytes.link"]).AssertDone();

        HeardStream heard = Decode(File.ReadAllBytes(Path.Combine(_folder.Path, "bytes.link")), out LinkDecoder decoder);
        Assert.Equal(0, decoder.ScansLost);
        Assert.Equal(decoder.ScansDelivered, (long)decoder.SentByDevice!);
        Assert.Equal(Words("made"), heard.Words);
        Assert.Contains("synthetic bench", heard.Description!.Device, StringComparison.Ordinal);
        Assert.Contains("bytes.truth.json", result.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Link_WithFaults_TruthAndDecoderAgree()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "bandstop", "sweeps=5", "--link", "--out", "bytes.raw", "--frame", "128",
            "--bit-errors", "1e-5", "--insertions", "1e-5", "--deletions", "1e-5", "--bursts", "0.01", "--garbage", "0.002", "--fault-seed", "4").AssertDone();

        using JsonDocument truth = JsonDocument.Parse(File.ReadAllText(Path.Combine(_folder.Path, "bytes.truth.json")));
        JsonElement link = truth.RootElement.GetProperty("link");
        Decode(File.ReadAllBytes(Path.Combine(_folder.Path, "bytes.raw")), out LinkDecoder decoder);
        long damaged = link.GetProperty("scansInDamagedFrames").GetInt64(), sent = link.GetProperty("scans").GetInt64();
        Assert.True(damaged > 0);
        Assert.Equal(sent - damaged, decoder.ScansDelivered);
        Assert.Equal(damaged, link.GetProperty("damagedFrames").EnumerateArray().Sum(f => f.GetProperty("scans").GetInt64()));
        Assert.Equal(sent, truth.RootElement.GetProperty("bench").GetProperty("recording").GetProperty("scans").GetInt64());
    }

    [Fact]
    public void Link_ToStandardOutput_IsBytesAndNothingElse()
    {
        using System.Diagnostics.Process process = AcquireCommand.Start(_folder.Path, "synth", "through", "scans=5000", "--link", "--out", "-");
        using MemoryStream bytes = new();
        process.StandardOutput.BaseStream.CopyTo(bytes);
        process.WaitForExit();

        Assert.Equal(5_000, Decode(bytes.ToArray(), out LinkDecoder decoder).Scans);
        Assert.Equal(0, decoder.BytesDiscarded - 1);
        Assert.Empty(_folder.Names);
    }

    [Theory]
    [InlineData("--bit-errors", "--bit-errors", "0.1", "--out", "x")]
    [InlineData("--pty-link", "--pty-link", "x", "--link", "--out", "x")]
    [InlineData("--link", "--link", "--pty")]
    [InlineData("--frame", "--link", "--frame", "9", "--out", "x")]
    [InlineData("--bursts", "--link", "--bursts", "2", "--out", "x")]
    [InlineData("--out", "--link")]
    public void Link_OptionThatDoesNotFit_IsTwoAndNamesIt(string named, params string[] args)
    {
        AcquireCommand.RunIn(_folder.Path, ["synth", "through", .. args]).AssertFailed(ExitCode.Usage, named);
        Assert.Empty(_folder.Names);
    }

    [Fact]
    public void Pty_ServesTheBenchInRealTime_EveryScanArrives()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        AcquireCommand.RunIn(_folder.Path, "synth", "bandstop", "scans=60000", "--out", "made").AssertDone();

        using RunningCommand instrument = RunningCommand.Start(_folder.Path, "synth", "bandstop", "scans=60000", "--pty", "--pty-link", "line", "--out", "sent");
        instrument.WaitForLine("Virtual instrument on /dev/pts/");
        long began = Environment.TickCount64;
        byte[] bytes = TerminalBytes.ReadToHangUp(Path.Combine(_folder.Path, "line"));

        Assert.Equal(ExitCode.Done, instrument.WaitForExit());
        Assert.InRange(Environment.TickCount64 - began, 500, 30_000); // 60,000 scans at 100,000 a second
        HeardStream heard = Decode(bytes, out LinkDecoder decoder);
        Assert.Equal(Words("made"), heard.Words);
        Assert.Equal(60_000ul, decoder.SentByDevice);
        Assert.Equal(["made.setup.json", "made.sigmf-data", "made.sigmf-meta", "made.truth.json", "sent.truth.json"], _folder.Names);
    }

    [Fact]
    public void Pty_Interrupted_SaysItsEndAndWritesTheTruth()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        using RunningCommand instrument = RunningCommand.Start(_folder.Path, "synth", "through", "--pty", "--pty-link", "line", "--out", "sent", "--stalls", "0.01", "--stall-time", "1ms");
        instrument.WaitForLine("Virtual instrument");
        byte[] bytes = TerminalBytes.ReadToHangUp(Path.Combine(_folder.Path, "line"), after: 20_000, then: instrument.Interrupt);

        Assert.Equal(ExitCode.Stopped, instrument.WaitForExit());
        HeardStream heard = Decode(bytes, out LinkDecoder decoder);
        using JsonDocument truth = JsonDocument.Parse(File.ReadAllText(Path.Combine(_folder.Path, "sent.truth.json")));
        Assert.Equal(truth.RootElement.GetProperty("link").GetProperty("scans").GetInt64(), heard.Scans);
        Assert.Equal((ulong)heard.Scans, decoder.SentByDevice);
        Assert.Equal(["sent.truth.json"], _folder.Names);
    }

    [Fact]
    public void Pty_InterruptedWhileNobodyReads_SaysWhatTheTruthCounts()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        using RunningCommand instrument = RunningCommand.Start(_folder.Path, "synth", "through", "--pty", "--pty-link", "line", "--out", "sent");
        instrument.WaitForLine("Virtual instrument");

        // 100,000 scans a second of 3 bytes: in half a second more is said than the line holds, so that the signal meets a write that waits.
        byte[] bytes = TerminalBytes.ReadToHangUp(Path.Combine(_folder.Path, "line"), after: 1, then: () =>
        {
            Thread.Sleep(500);
            instrument.Interrupt();
            Thread.Sleep(500);
        });

        Assert.Equal(ExitCode.Stopped, instrument.WaitForExit());
        HeardStream heard = Decode(bytes, out LinkDecoder decoder);
        using JsonDocument truth = JsonDocument.Parse(File.ReadAllText(Path.Combine(_folder.Path, "sent.truth.json")));
        Assert.Equal(truth.RootElement.GetProperty("link").GetProperty("scans").GetInt64(), heard.Scans);
        Assert.Equal((ulong)heard.Scans, decoder.SentByDevice);
    }

    [Fact]
    public void PtyLink_OverAFileOfAnotherKind_IsRefused()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        _folder.Write("line", "precious");

        AcquireCommand.RunIn(_folder.Path, "synth", "through", "--pty", "--pty-link", "line").AssertFailed(ExitCode.Usage, "line");
        Assert.Equal("precious", File.ReadAllText(Path.Combine(_folder.Path, "line")));
    }

    private ushort[] Words(string name)
    {
        using RecordingReader reader = RecordingReader.Open(Path.Combine(_folder.Path, name));
        ushort[] words = new ushort[reader.ScanCount * reader.ChannelCount];
        reader.Read(words);
        return words;
    }

    private static HeardStream Decode(byte[] bytes, out LinkDecoder decoder)
    {
        HeardStream heard = new();
        decoder = new LinkDecoder(heard);
        decoder.Take(bytes);
        decoder.Complete();
        return heard;
    }
}
