using System.Diagnostics;
using System.Globalization;
using System.Text.Json;
using Acquire.Harness.Tests.Commands;
using Acquire.Harness.Tests.Doubles;
using Acquire.Recordings;
using Acquire.Sources.Synthetic;

namespace Acquire.Harness.Tests.Live;

/// <summary>The whole way on one machine: virtual instrument, pseudo-terminal, capture, replay; compared with the bench itself, scan for scan.</summary>
/// <remarks>ACQUIRE_LIVE_SECONDS says how long; ACQUIRE_LIVE_FOLDER where, since 30 minutes take 7.2 GB.</remarks>
[Collection("Alone")]
public sealed class LiveRunTests(ITestOutputHelper output)
{
    private const long ScansPerSecond = 1_000_000;

    private static readonly long Seconds = long.TryParse(Environment.GetEnvironmentVariable("ACQUIRE_LIVE_SECONDS"), out long seconds) ? seconds : 3;

    [Fact]
    public void InstrumentToCaptureToReplay_EqualsTheTruth()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        using ScratchFolder folder = new(Environment.GetEnvironmentVariable("ACQUIRE_LIVE_FOLDER"));
        string[] bench = ["bandstop", $"scanRate={ScansPerSecond}", $"scans={Seconds * ScansPerSecond}", "seed=77"];
        using RunningCommand instrument = RunningCommand.Start(folder.Path, ["synth", .. bench, "--pty", "--pty-link", "line", "--out", "sent"]);
        instrument.WaitForLine("Virtual instrument");
        long began = Stopwatch.GetTimestamp();
        using RunningCommand capture = RunningCommand.Start(folder.Path, "capture", "serial:line", "--out", "live");
        TimeSpan limit = TimeSpan.FromSeconds(60 + (2 * Seconds));
        Assert.Equal(0, capture.WaitForExit(limit));
        TimeSpan took = Stopwatch.GetElapsedTime(began);
        Assert.Equal(0, instrument.WaitForExit());

        Assert.Contains("nothing lost", capture.Output, StringComparison.Ordinal);
        using (RecordingReader reader = RecordingReader.Open(Path.Combine(folder.Path, "live")))
        {
            Assert.False(reader.IsUnfinished);
            Assert.Equal(Seconds * ScansPerSecond, reader.ScanCount);
            AssertSame(new SyntheticBench(SyntheticSpec.ParseSource($"{bench[0]}?{string.Join('&', bench[1..])}") with { KeepTruth = false }), reader);
        }

        using JsonDocument truth = JsonDocument.Parse(File.ReadAllText(Path.Combine(folder.Path, "sent.truth.json")));
        int complete = truth.RootElement.GetProperty("bench").GetProperty("sweeps").EnumerateArray().Count(sweep => sweep.GetProperty("complete").GetBoolean());
        using RunningCommand replay = RunningCommand.Start(folder.Path, "replay", "live");
        Assert.Equal(0, replay.WaitForExit(limit));
        Assert.Contains($"{complete.ToString(CultureInfo.InvariantCulture)} of them complete", replay.Output, StringComparison.Ordinal);
        output.WriteLine($"{Seconds * ScansPerSecond:N0} scans in {took.TotalSeconds:N1} s, none lost, none wrong, {complete:N0} complete sweeps in the replay as in the truth");
    }

    private static void AssertSame(SyntheticBench bench, RecordingReader reader)
    {
        ushort[] expected = new ushort[2 * 32_768], found = new ushort[2 * 32_768];
        while (true)
        {
            SyntheticRead truth = bench.Read(expected);
            if (truth.Kind == SyntheticReadKind.End) break;
            Span<ushort> room = found.AsSpan(0, (int)truth.Count * 2);
            long position = reader.Position;
            RecordingRead read = reader.Read(room);
            Assert.Equal((RecordingReadKind.Scans, (int)truth.Count), (read.Kind, read.Scans));
            if (!room.SequenceEqual(expected.AsSpan(0, room.Length))) Assert.Fail($"A scan of the {truth.Count} from {position} on is another one.");
        }

        Assert.Equal(RecordingReadKind.End, reader.Read(found).Kind);
    }
}
