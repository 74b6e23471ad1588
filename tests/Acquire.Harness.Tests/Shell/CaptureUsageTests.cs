using Acquire.Harness.Options;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Commands;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Shell;

public sealed class CaptureUsageTests : IDisposable
{
    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("own", "own")]
    [InlineData("own.sigmf-data", "own")]
    [InlineData("own", "own.sigmf-meta")]
    [InlineData("own?bits=12", "./own")]
    public void Capture_RecordingOntoItself_IsRefusedAndTheRecordingStays(string source, string name)
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "through", "sweeps=1", "--out", "own").AssertDone();
        byte[] before = File.ReadAllBytes(Path.Combine(_folder.Path, "own.sigmf-data"));

        AcquireCommand.RunIn(_folder.Path, "capture", $"file:{source}", "--out", name).AssertFailed(ExitCode.Usage, "is the recording that is read");

        Assert.Equal(before, File.ReadAllBytes(Path.Combine(_folder.Path, "own.sigmf-data")));
    }

    [Fact]
    public void Capture_RawOfNothing_KeepsTheOlderBytes()
    {
        string raw = Path.Combine(_folder.Path, "own.raw");
        File.WriteAllText(raw, "bytes of an earlier capture");

        AcquireCommand.RunIn(_folder.Path, "capture", "serial:not-there", "--raw", "--out", "own").AssertFailed(ExitCode.Unreadable, "not-there");

        Assert.Equal("bytes of an earlier capture", File.ReadAllText(raw));
    }

    [Theory]
    [InlineData("decoder=lines", "1;2\n3;4\n", "of 8 bytes none became a scan; a line is one decimal code")]
    [InlineData("decoder=words&tagged=yes", "\u0001\u0007\u0001\u0007\u0001\u0007\u0001\u0007", "of 8 bytes none became a scan; a code is 16 bits")]
    public void Capture_BytesWithoutFrames_SaysWhatWasExpected(string decoder, string bytes, string said)
    {
        string sent = Path.Combine(_folder.Path, "sent");
        File.WriteAllText(sent, bytes);
        using System.Diagnostics.Process process = AcquireCommand.StartWithInput(_folder.Path, sent, "capture", $"stdin:?{decoder}", "--raw", "--out", "got");
        string error = process.StandardError.ReadToEnd();
        process.WaitForExit();

        Assert.Equal(ExitCode.Unreadable, process.ExitCode);
        Assert.Contains(said, error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("capture", "synth:through")]
    [InlineData("synth", "through")]
    public void Out_NoName_IsRefusedAndNothingWritten(string verb, string what)
    {
        foreach (string name in (string[])["-", "", _folder.Path + Path.DirectorySeparatorChar])
        {
            using StringWriter output = new(), error = new();

            int code = HarnessProgram.Run([verb, what, "--out", name], output, error, TestContext.Current.CancellationToken);

            Assert.Equal(ExitCode.Usage, code);
            Assert.StartsWith("acquire: --out: ", error.ToString(), StringComparison.Ordinal);
            Assert.Empty(_folder.Names);
        }
    }

    [Theory]
    [InlineData("1h", 3_600)]
    [InlineData("1.5 min", 90)]
    [InlineData("10ms", 0.01)]
    [InlineData("2 s", 2)]
    [InlineData("0min", 0)]
    public void Seconds_UnitsOfTime_AreRead(string text, double seconds) => Assert.Equal(seconds, OptionText.Seconds("--for", text));

    [Theory]
    [InlineData("-1h")]
    [InlineData("h")]
    [InlineData("1kmin")]
    [InlineData("1Hz")]
    public void Seconds_NoTime_IsRefused(string text) => Assert.Throws<CommandFailure>(() => OptionText.Seconds("--for", text));
}
