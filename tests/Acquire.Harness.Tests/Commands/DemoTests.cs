using System.Text.Json;
using Acquire.Harness.Shell;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Commands;

public sealed class DemoTests : IDisposable
{
    // 162 kHz, 12 kHz wide at -3.01 dB: a Butterworth band-stop's edges are sqrt(f0² + (B/2)²) -+ B/2 (any filter handbook).
    private const double LowerHz = 156_111.07;
    private const double UpperHz = 168_111.07;
    private const double ColumnHz = 110;

    private readonly ScratchFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Demo_FolderOfARunBefore_MeasuresTheTrapAndLeavesEveryFileThatItNames()
    {
        string shown = Directory.CreateDirectory(Path.Combine(_folder.Path, "shown")).FullName;
        File.WriteAllText(Path.Combine(shown, "trap.json"), "of a run before");

        CommandResult result = AcquireCommand.RunIn(_folder.Path, "demo", "--out", "shown").AssertDone();

        foreach (string file in (string[])["sweep.png", "trap.png", "trap.svg", "compare.png", "partial.png", "tuning.png", "trap.csv", "trap.json", "wire.sigmf-data", "tuning.truth.json"])
            Assert.True(new FileInfo(Path.Combine(shown, file)) is { Exists: true, Length: > 0 }, $"The demo left no {file}.");
        using JsonDocument measurement = JsonDocument.Parse(File.ReadAllText(Path.Combine(shown, "trap.json")));
        JsonElement halfPower = measurement.RootElement.GetProperty("bandwidths")[0];
        Assert.Equal(LowerHz, halfPower.GetProperty("lowerHz").GetDouble(), ColumnHz / 2);
        Assert.Equal(UpperHz, halfPower.GetProperty("upperHz").GetDouble(), ColumnHz / 2);
        Assert.Contains("edges at -3.01 dB", result.Output, StringComparison.Ordinal);
        Assert.Contains("acquire replay", result.Output, StringComparison.Ordinal);
        Assert.Empty(result.Error);
    }

    [Fact]
    public void Demo_FolderIsAFile_IsThree()
    {
        _folder.Write("taken", "");

        AcquireCommand.RunIn(_folder.Path, "demo", "--out", "taken").AssertFailed(ExitCode.Unreadable, "taken");
    }
}
