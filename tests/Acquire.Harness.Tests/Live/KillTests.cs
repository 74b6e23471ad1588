using System.Diagnostics;
using Acquire.Harness.Tests.Commands;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Live;

/// <summary>A capture at a million scans a second is killed; what lies on the disk must open, lack little and hold no wrong scan.</summary>
/// <remarks>ACQUIRE_KILLS says how many times; a few by default.</remarks>
[Collection("Alone")]
public sealed class KillTests(ITestOutputHelper output)
{
    private const double ScansPerSecond = 1_000_000;
    private const int ScansPerHalf = 4_096;

    private static readonly int Kills = int.TryParse(Environment.GetEnvironmentVariable("ACQUIRE_KILLS"), out int kills) ? kills : 8;

    [Fact]
    public void Capture_Killed_RecordingOpensAndLacksLittle()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        Random random = new(20_310_506);
        List<string> kinds = ["at any time", "in the first 50 ms", "while it rotates", "while metadata is rewritten"];
        Dictionary<string, List<long>> lacking = kinds.ToDictionary(kind => kind, _ => new List<long>());
        for (int kill = 0; kill < Kills; kill++)
        {
            string kind = kinds[kill % kinds.Count];
            lacking[kind].Add(KillOnce(kind, random));
        }

        foreach ((string kind, List<long> scans) in lacking)
            if (scans.Count > 0) output.WriteLine($"killed {kind}: {scans.Count} recordings opened, lacking {scans.Min():N0} to {scans.Max():N0} scans, median {scans.Order().ElementAt(scans.Count / 2):N0}");
    }

    private static long KillOnce(string kind, Random random)
    {
        bool rewriting = kind.Contains("metadata", StringComparison.Ordinal);
        (string[] more, double flushSeconds, double latestSeconds) = kind switch
        {
            "in the first 50 ms" => (Array.Empty<string>(), 1.0, 0.05),
            "while it rotates" => (["--rotate", "300kB"], 1, 0.8),
            "while metadata is rewritten" => (["--flush", "100ms"], 0.1, 0.8),
            _ => ([], 1, 1.5),
        };
        using ScratchFolder folder = new();
        using NumberedSender sender = new(ScansPerSecond, framesPerOverrun: rewriting ? 3 : 0);
        using RunningCommand capture = RunningCommand.Start(folder.Path, ["capture", $"serial:{sender.Terminal}", "--out", "x", .. more]);

        // From the moment on at which there is something to open.
        WaitFor(() => Directory.EnumerateFiles(folder.Path, "x*.sigmf-meta").Any(), capture);
        Spin(TimeSpan.FromSeconds(random.NextDouble() * latestSeconds));
        capture.Kill();
        capture.WaitForExit();
        long sent = sender.Sent;

        string[] names = NumberedRecording.NamesIn(folder.Path);
        (long scans, long end) = NumberedRecording.AssertInPlace(names);
        long lacks = sent - (scans == 0 ? 0 : end);
        Assert.True(lacks <= (ScansPerSecond * flushSeconds) + ScansPerHalf, $"Killed {kind}: {sent:N0} scans were sent, the recording ends at {end:N0} and lacks {lacks:N0}.");
        CommandResult replay = AcquireCommand.RunIn(folder.Path, "replay", names[^1]);
        Assert.True(replay.ExitCode == 0, replay.Error);
        return lacks;
    }

    private static void WaitFor(Func<bool> condition, RunningCommand capture)
    {
        if (!SpinWait.SpinUntil(condition, TimeSpan.FromSeconds(30))) Assert.Fail($"No recording appeared. {capture.Error}");
    }

    private static void Spin(TimeSpan time)
    {
        long began = Stopwatch.GetTimestamp();
        SpinWait.SpinUntil(() => Stopwatch.GetElapsedTime(began) >= time);
    }
}
