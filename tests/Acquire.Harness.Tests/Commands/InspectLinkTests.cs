using System.Text;
using System.Text.Json;
using Acquire.Harness.Instrument;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;
using Acquire.Link;

namespace Acquire.Harness.Tests.Commands;

public sealed class InspectLinkTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private JsonElement Json(params string[] args) =>
        JsonDocument.Parse(AcquireCommand.RunIn(_folder.Path, ["inspect", .. args, "--json"]).AssertDone().Output).RootElement;

    [Fact]
    public void CleanBytes_EveryFrameIsAcceptedAndTheScansAreLookedAt()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "through", "sweeps=3", "--link", "--out", "clean.link").AssertDone();

        JsonElement seen = Json("clean.link");

        JsonElement link = seen.GetProperty("link");
        Assert.Equal(link.GetProperty("frames").GetInt64(), link.GetProperty("verdicts").GetProperty("accepted").GetInt64());
        Assert.Equal(0, seen.GetProperty("framesLeftOut").GetInt64());
        Assert.Equal(seen.GetProperty("recording").GetProperty("scans").GetInt64(), seen.GetProperty("frames").EnumerateArray().Sum(f => f.GetProperty("scans").GetInt64()));
        Assert.Equal(0, seen.GetProperty("faults").GetArrayLength());
        Assert.DoesNotContain(seen.GetProperty("findings").EnumerateArray(), f => f.GetProperty("finding").GetString()!.StartsWith("link-", StringComparison.Ordinal));
        JsonElement truth = JsonDocument.Parse(File.ReadAllText(Path.Combine(_folder.Path, "clean.truth.json"))).RootElement.GetProperty("bench");
        Assert.Equal(truth.GetProperty("sweeps").EnumerateArray().Count(s => s.GetProperty("complete").GetBoolean()), seen.GetProperty("sweeps").EnumerateArray().Count(s => s.GetProperty("complete").GetBoolean()));
    }

    [Fact]
    public void DamagedBytes_EveryDamagedFrameOfTheTruthIsAFault()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "through", "sweeps=10", "--link", "--out", "bad.raw", "--bit-errors", "2e-6").AssertDone();
        JsonElement truth = JsonDocument.Parse(File.ReadAllText(Path.Combine(_folder.Path, "bad.truth.json"))).RootElement.GetProperty("link");

        JsonElement seen = Json("bad.raw", "--frames", "all");
        string people = AcquireCommand.RunIn(_folder.Path, "inspect", "bad.raw").AssertDone().Output;

        long[] offsets = [.. seen.GetProperty("faults").EnumerateArray().Select(f => f.GetProperty("offset").GetInt64())];
        JsonElement[] damaged = [.. truth.GetProperty("damagedFrames").EnumerateArray()];
        Assert.NotEmpty(damaged);
        Assert.All(damaged, frame => Assert.Contains(frame.GetProperty("offset").GetInt64(), offsets));
        Assert.Equal(truth.GetProperty("scansInDamagedFrames").GetInt64(), seen.GetProperty("link").GetProperty("lostScans").GetInt64());
        Assert.Contains(seen.GetProperty("findings").EnumerateArray(), f => f.GetProperty("finding").GetString() == "link-damaged");
        Assert.Contains("Bytes around each fault", people, StringComparison.Ordinal);
        Assert.Contains("more; --frames all lists them", people, StringComparison.Ordinal);

        // The bytes shown are those of the file.
        byte[] file = File.ReadAllBytes(Path.Combine(_folder.Path, "bad.raw"));
        JsonElement first = seen.GetProperty("faults")[0];
        string hex = first.GetProperty("hex").GetString()!;
        Assert.Equal(Convert.ToHexStringLower(file.AsSpan((int)offsets[0], hex.Length / 2)), hex);
        Assert.Contains(string.Join(' ', file.AsSpan((int)offsets[0] - 8, 16).ToArray().Select(b => b.ToString("x2"))), people, StringComparison.Ordinal);
    }

    [Fact]
    public void BytesWithoutAFrame_AreLookedAtAllTheSame()
    {
        File.WriteAllBytes(Path.Combine(_folder.Path, "noise.raw"), [.. Enumerable.Range(0, 5_000).Select(i => (byte)(i * 31 % 251))]);

        JsonElement seen = Json("noise.raw");

        Assert.Equal(["link-no-frames"], seen.GetProperty("findings").EnumerateArray().Select(f => f.GetProperty("finding").GetString()));
        Assert.Equal(0, seen.GetProperty("link").GetProperty("scans").GetInt64());
        AcquireCommand.RunIn(_folder.Path, "inspect", "noise.raw", "--write-setup", "s.json").AssertFailed(ExitCode.CheckFailed, "noise.raw");
    }

    [Fact]
    public void TextOfTheDevice_IsEscapedWhereverItIsShown()
    {
        FrameBuffer bytes = new();
        LinkEncoder encoder = new(new LinkEncoderOptions { Description = new() { Device = "dev\u001b[2Jice\u202e" } });
        encoder.WriteDescription(bytes);
        encoder.WriteText("hello\a\u009b31m\nacquire: done", bytes);
        encoder.WriteScans(new ushort[200], bytes);
        File.WriteAllBytes(Path.Combine(_folder.Path, "rude.raw"), bytes.Written.ToArray());

        CommandResult people = AcquireCommand.RunIn(_folder.Path, "inspect", "rude.raw").AssertDone();
        CommandResult json = AcquireCommand.RunIn(_folder.Path, "inspect", "rude.raw", "--json").AssertDone();

        Assert.Contains(@"dev\u001b[2Jice\u202e", people.Output, StringComparison.Ordinal);
        Assert.Contains(@"hello\u0007\u009b31m\u000aacquire: done", people.Output, StringComparison.Ordinal);
        foreach (string output in (string[])[people.Output, json.Output])
            Assert.DoesNotContain(output.EnumerateRunes(), rune => rune.Value != '\n' && Rune.GetUnicodeCategory(rune) is System.Globalization.UnicodeCategory.Control or System.Globalization.UnicodeCategory.Format);
        Assert.Equal("dev\u001b[2Jice\u202e", JsonDocument.Parse(json.Output).RootElement.GetProperty("link").GetProperty("device").GetString());
    }

    [Fact]
    public void LiveSource_IsLookedAtAsARecordingAndLeavesNothing()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        using RunningCommand instrument = RunningCommand.Start(_folder.Path, "synth", "bandstop", "--pty", "--pty-link", "line");
        instrument.WaitForLine("Virtual instrument");

        JsonElement seen = Json("serial:line", "--for", "3s");
        AcquireCommand.RunIn(_folder.Path, "inspect", "serial:line", "--for", "3s", "--write-setup", "s.json").AssertDone();
        instrument.Terminate();
        instrument.WaitForExit();

        Assert.Equal("serial:line", seen.GetProperty("recording").GetProperty("name").GetString());
        Assert.Equal(["ramp", "vertical"], seen.GetProperty("channels").EnumerateArray().Select(c => c.GetProperty("likelyRole").GetString()));
        Assert.InRange(seen.GetProperty("recording").GetProperty("scans").GetInt64(), 30_000, 350_000);
        Recordings.SetupDocument document = Recordings.SetupFile.LoadDocument(Path.Combine(_folder.Path, "s.json"));
        Assert.Contains("sweep.direction", document.Guessed);
        Assert.DoesNotContain("scan.roles", document.Guessed);
        Assert.Equal(["s.json"], _folder.Names);
    }

    [Fact]
    public void LiveSource_ThatIsNone_IsThree()
    {
        AcquireCommand.RunIn(_folder.Path, "inspect", "serial:not-there").AssertFailed(ExitCode.Unreadable, "not-there");
        AcquireCommand.RunIn(_folder.Path, "inspect", "made", "--for", "1s").AssertFailed(ExitCode.Usage, "made");
    }

    [Fact]
    public void FramesAll_OfARecording_IsTwo()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "through", "scans=500", "--out", "made").AssertDone();

        AcquireCommand.RunIn(_folder.Path, "inspect", "made", "--frames", "all").AssertFailed(ExitCode.Usage, "made");
        AcquireCommand.RunIn(_folder.Path, "inspect", "made", "--frames", "some").AssertFailed(ExitCode.Usage, "some");
    }

    [Fact]
    public void SetupOfTheBytes_IsWritten()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "through", "sweeps=3", "--link", "--out", "clean.link").AssertDone();

        AcquireCommand.RunIn(_folder.Path, "inspect", "clean.link", "--write-setup", "s.json").AssertDone();

        Assert.Equal(100_000, Recordings.SetupFile.Load(Path.Combine(_folder.Path, "s.json")).Scan.ScanRateHz);
    }
}
