using System.Diagnostics;
using System.Text.Json;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;
using Acquire.Recordings;

namespace Acquire.Harness.Tests.Commands;

/// <summary>WAV files in and out of the command.</summary>
public sealed class WavTests : IDisposable
{
    private static readonly string[] Scales =
        ["--bits", "12", "--ramp-volts=-5.5,5.5", "--vertical-volts=0.1,-1.1", "--axis", "5kHz,55kHz", "--level", "0V=-100dB,-1V=0dB"];

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Wav_OfARecording_GivesTheSameSweepsWithNoOptionAtAll()
    {
        string wav = Path.Combine(_folder.Path, "made.wav");

        AcquireCommand.Run(["replay", "bandstop", .. Scales, "--wav", wav]).AssertDone();

        Assert.Equal(["made.setup.json", "made.wav"], _folder.Names);
        string there = AcquireCommand.Run(["replay", "bandstop", .. Scales, "--jsonl"]).AssertDone().Output;
        Assert.Equal(there, AcquireCommand.RunIn(_folder.Path, "replay", "made.wav", "--jsonl").AssertDone().Output);
    }

    [Fact]
    public void Wav_SetupIsThereAlready_IsKeptAndSaid()
    {
        string setup = _folder.Write("made.setup.json", "mine");

        CommandResult result = AcquireCommand.Run(["replay", "bandstop", .. Scales, "--wav", Path.Combine(_folder.Path, "made.wav")]).AssertDone();

        Assert.Equal("mine", File.ReadAllText(setup));
        Assert.Contains("was left as it is", result.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Wav_OfARecordingWithGaps_SaysThatTheyAreNotInIt()
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "gaps", "--out", "made").AssertDone();

        CommandResult result = AcquireCommand.RunIn(_folder.Path, "replay", "made", "--wav", "flat.wav").AssertDone();

        Assert.Contains("no place for gaps", result.Output, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("made", "made.wav")]
    [InlineData("-", "standard output")]
    public void Wav_NameThatNobodyWouldKnow_IsRefused(string name, string named)
    {
        AcquireCommand.Run(["replay", "bandstop", .. Scales, "--wav", name]).AssertFailed(ExitCode.Usage, named);
    }

    [Fact]
    public void Wav_OfTheFileThatIsRead_IsRefused()
    {
        AcquireCommand.Run(["replay", "bandstop", .. Scales, "--wav", Path.Combine(_folder.Path, "made.wav")]).AssertDone();

        AcquireCommand.RunIn(_folder.Path, "replay", "made.wav", "--wav", "made.wav").AssertFailed(ExitCode.Usage, "being read");
    }

    [Fact]
    public void Wav_NoScanRate_IsRefused()
    {
        _folder.WriteRecording("bare", """{"global":{"core:datatype":"ru16_le","core:version":"1.0.0","core:num_channels":2},"captures":[{"core:sample_start":0}],"annotations":[]}""", 500);

        AcquireCommand.RunIn(_folder.Path, "replay", "bare", "--wav", "made.wav").AssertFailed(ExitCode.Usage, "--wav");
    }

    [Theory]
    [InlineData("signed-integer", "16")]
    [InlineData("signed-integer", "24")]
    [InlineData("signed-integer", "32")]
    [InlineData("floating-point", "32")]
    public void Inspect_RampThroughAnInputThatBlocksDirectVoltage_IsSaidToDroop(string encoding, string bits)
    {
        AcquireCommand.RunIn(_folder.Path, "synth", "droop", "seed=6", "--out", "made").AssertDone();
        AcquireCommand.RunIn(_folder.Path, "replay", "made", "--wav", "plain.wav").AssertDone();
        Sox("plain.wav", "-e", encoding, "-b", bits, "sound.wav");

        // The file of the other program alone: no setup says anything of it.
        CommandResult result = AcquireCommand.RunIn(_folder.Path, "inspect", "sound.wav", "--json").AssertDone();

        using JsonDocument document = JsonDocument.Parse(result.Output);
        Assert.Contains(document.RootElement.GetProperty("findings").EnumerateArray(), finding => finding.GetProperty("finding").GetString() is "ramp-droops");
        Assert.False(File.Exists(Path.Combine(_folder.Path, "sound" + SetupFile.Extension)));
    }

    private void Sox(params string[] arguments)
    {
        ProcessStartInfo start = new("sox", arguments) { WorkingDirectory = _folder.Path, RedirectStandardError = true };
        try
        {
            using Process sox = Process.Start(start)!;
            string errors = sox.StandardError.ReadToEnd();
            sox.WaitForExit();
            Assert.True(sox.ExitCode == 0, errors);
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Skip("The program sox is not installed; it makes the files that this test reads.");
        }
    }
}
