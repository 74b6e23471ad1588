using System.Globalization;
using Acquire.Harness.Runs;
using Acquire.Harness.Shell;
using Acquire.Recordings;

namespace Acquire.Harness.Replay;

/// <summary>Writes the scans of a recording as a WAV file, and the setup beside it.</summary>
internal static class WavExport
{
    private const string Option = "--wav";
    private const int ScansPerRead = 64 * 1024;

    /// <summary>Writes the whole recording; the file appears when it is complete.</summary>
    /// <param name="path">The WAV file.</param>
    /// <param name="run">The recording; it is read once more from its start.</param>
    /// <param name="cancel">Stops between two reads; then nothing is left behind.</param>
    /// <returns>What a reader of the file should know, one line each.</returns>
    /// <exception cref="CommandFailure">The format has no place for this rate, or for a code.</exception>
    public static IReadOnlyList<string> Write(string path, RecordingRun run, CancellationToken cancel)
    {
        if (!path.EndsWith(".wav", StringComparison.OrdinalIgnoreCase))
            throw CommandFailure.Usage(Option, $"{path} does not end in .wav, by which such files are known; name it {path}.wav");
        if (run.Setup.Scan.ScanRateHz is not { } rate)
            throw CommandFailure.Usage(Option, "a WAV file says how many scans a second were taken, and the recording does not; state it in a setup file");
        List<string> notes = [];
        try
        {
            using WavWriter writer = new(path, run.Reader.ChannelCount, rate, run.Setup.Scan.Bits);
            (long gaps, long breaks) = Copy(run, writer, cancel);
            writer.Complete();
            if (gaps + breaks > 0)
            {
                notes.Add(string.Create(CultureInfo.InvariantCulture,
                    $"{path}: the format has no place for gaps, and the recording has {gaps} gaps and {breaks} breaks; there what comes after stands next to what came before."));
            }
        }
        catch (ArgumentException exception)
        {
            throw CommandFailure.Usage(Option, exception.Message);
        }

        string setupPath = SetupFile.NameBeside(path);
        if (File.Exists(setupPath)) notes.Add($"{setupPath} is there already and was left as it is; it is what {path} is read with.");
        else if (IsMoreThanChannels(run.Setup)) SetupFile.Save(setupPath, run.Setup);
        return notes;
    }

    private static bool IsMoreThanChannels(Setup setup) => setup.RampVolts is not null || setup.Axis is not null || setup.Verticals.Count > 0;

    private static (long Gaps, long Breaks) Copy(RecordingRun run, WavWriter writer, CancellationToken cancel)
    {
        long gaps = 0, breaks = 0;
        ushort[] scans = new ushort[ScansPerRead * run.Reader.ChannelCount];
        run.Reader.Rewind();
        while (true)
        {
            cancel.ThrowIfCancellationRequested();
            RecordingRead read = run.Reader.Read(scans);
            if (read.Kind == RecordingReadKind.End) return (gaps, breaks);
            if (read.Kind == RecordingReadKind.Gap) gaps++;
            else if (read.Kind == RecordingReadKind.Break) breaks++;
            else writer.Write(scans.AsSpan(0, read.Scans * run.Reader.ChannelCount));
        }
    }
}
