using System.Diagnostics;
using Acquire.Columns;
using Acquire.Harness.Inspect.Spectra;
using Acquire.Harness.Inspect.Survey;
using Acquire.Recordings;

namespace Acquire.Bench.Replaying;

/// <summary>What each stage of replay and inspect costs without the others, on the recording in the file cache.</summary>
/// <param name="recording">The recording.</param>
internal sealed class ReplayStages(LargeRecording recording)
{
    private const int ScansPerRead = 64 * 1024;
    private static readonly Setup Setup = Speed.SpeedWords.SetupFor(Placement.Fitted);

    /// <summary>A stage as it looks at scans.</summary>
    public delegate void Look(ReadOnlySpan<ushort> scans);

    /// <summary>The platform's own file class, into one buffer.</summary>
    public double PlatformSeconds()
    {
        long start = Stopwatch.GetTimestamp();
        using FileStream file = new(recording.DataPath, FileMode.Open, FileAccess.Read, FileShare.Read, bufferSize: 0, FileOptions.SequentialScan);
        byte[] buffer = new byte[1 << 20];
        while (file.Read(buffer) > 0)
        {
        }

        return Stopwatch.GetElapsedTime(start).TotalSeconds;
    }

    /// <summary>The recording's reader and one stage, or nothing, behind it.</summary>
    public double Seconds(Look? look = null)
    {
        long start = Stopwatch.GetTimestamp();
        using RecordingReader reader = RecordingReader.Open(recording.Name);
        ushort[] words = new ushort[ScansPerRead * reader.ChannelCount];
        while (reader.Read(words) is { Kind: not RecordingReadKind.End } read) look?.Invoke(words.AsSpan(0, read.Scans * reader.ChannelCount));
        return Stopwatch.GetElapsedTime(start).TotalSeconds;
    }

    /// <summary>The engine with nobody listening.</summary>
    public static Look Engine()
    {
        SweepEngine engine = new(Setup, new NoSink());
        return scans => engine.Process(scans);
    }

    /// <summary>What inspect knows of every channel by itself.</summary>
    public static Look Survey()
    {
        ChannelSurvey[] channels = [new(0, Setup.Scan), new(1, Setup.Scan)];
        return scans =>
        {
            foreach (ChannelSurvey channel in channels) channel.Add(scans, channels.Length);
        };
    }

    /// <summary>How alike ramp and vertical are.</summary>
    public static Look Alike()
    {
        Correlation alike = new();
        return scans => alike.Add(scans, channelCount: 2, first: 1, second: 0);
    }
}
