using System.Globalization;
using Acquire.Capture;
using Acquire.Harness.Shell;
using Acquire.Link;
using Acquire.Recordings;
using Acquire.Sources;
using Acquire.Sources.Names;
using Acquire.Sources.Recording;

namespace Acquire.Harness.Capturing;

/// <summary>One capture: source, queue, recorder, and what becomes of them when something fails.</summary>
/// <param name="choices">What is asked for.</param>
/// <param name="setup">What a person's setup file says, or null.</param>
/// <param name="setupOf">The setup for what the source says of its scans.</param>
internal sealed class CaptureRun(CaptureChoices choices, Setup? setup, Func<StreamDescription, SetupDocument> setupOf)
{
    private const double MostIdleSeconds = 0.1;

    // What waits in memory is lost with a killed process, so no more than a quarter of a flush interval may, and this much where nobody says the scan rate;
    // a disk that is slower makes the source wait, or lose.
    private const double WordsWaitingPerSecond = 1 << 19;

    /// <summary>Records until the source ends, the choices are met, or the user stops it. What fails is in the result.</summary>
    /// <param name="look">Shown the capture, and the complete sweeps in it, as it goes on.</param>
    /// <param name="cancel">Stops it; files are closed cleanly.</param>
    /// <exception cref="CommandFailure">It cannot begin.</exception>
    public CaptureResult Go(Action<CaptureReceiver, long> look, CancellationToken cancel)
    {
        using CancellationTokenSource stop = CancellationTokenSource.CreateLinkedTokenSource(cancel);
        EndWatch end = new(stop.Cancel);
        TapSlot tap = new();
        IScanSource source = Create(tap, end);
        using CaptureRecorder recorder = new(choices.Name, new CaptureOptions
        {
            FlushInterval = choices.Flush,
            Sync = choices.Sync,
            Rotation = choices.Rotation,
            Description = $"Captured from {source.Name}",
            Setup = setupOf,
        });
        using RawTap? raw = choices.Raw ? new RawTap(choices.RawPath) : null;
        tap.Target = raw;
        SweepWatch sweeps = new(description => setupOf(description).Setup);
        Exception? failure;
        using ReceiverThread watch = new(sweeps, MostWordsWatched);
        CaptureReceiver receiver = new(recorder, watch, choices.Scans, stop.Cancel, capture => look(capture, sweeps.Complete));
        using (ReceiverThread thread = new(receiver, MostWordsWaiting, receiver.Idle, IdleTime, choices.Flush / 4))
        {
            if (choices.For is { } time) stop.CancelAfter(time);
            failure = Try(() => source.Run(thread, stop.Token));

            // Everything that came before a fault is recorded.
            failure = Try(thread.Complete) ?? failure;
        }

        failure = Try(watch.Complete) ?? failure;
        failure = Try(sweeps.End) ?? failure;

        failure ??= Try(() => raw?.Complete());
        failure = Try(recorder.Complete) ?? failure;
        IReadOnlyList<CapturedRecording> recordings = recorder.Recordings;
        if (failure is not null)
        {
            recorder.Dispose();
            recordings = [.. recordings.Where(IsThere).Select(AsItLies)];
        }

        long kept = recordings.Sum(recording => recording.Scans);
        if (kept == 0 && failure is null) failure = Nothing(source, raw, cancel.IsCancellationRequested ? ExitCode.Stopped : ExitCode.Unreadable);
        return new CaptureResult
        {
            Recordings = recordings,
            Scans = kept,
            LostScans = recorder.LostScans,
            Gaps = recorder.Gaps,
            Breaks = recorder.Breaks,
            Sweeps = sweeps.Complete,
            Description = receiver.Description,
            RatesDiffer = receiver.RatesDiffer,
            LastText = receiver.LastText,
            Reconnections = source.Reconnections,
            DeviceEnded = end.Ended,
            RawBytes = raw?.Bytes,
            Failure = failure,
        };
    }

    private IScanSource Create(TapSlot tap, EndWatch end)
    {
        IScanSource source;
        try
        {
            source = SourceName.Create(choices.Source, new SourceChoices { Setup = setup, Observer = end, Tap = choices.Raw ? tap : null });
        }
        catch (SourceException exception) when (exception.Failure == SourceFailure.NameWrong)
        {
            throw new CommandFailure(ExitCode.Usage, exception.Message, exception);
        }

        return source is ByteSource || !choices.Raw
            ? source
            : throw CommandFailure.Usage("--raw", $"{source.Name} brings scans and no bytes; leave it away, or capture from serial, tcp or stdin");
    }

    // Recorded already: what waits here is at no risk, and may wait while the engine's code is still being compiled.
    private const long MostWordsWatched = 16 << 20;

    private TimeSpan IdleTime => TimeSpan.FromSeconds(Math.Min(MostIdleSeconds, choices.Flush.TotalSeconds / 4));

    private long MostWordsWaiting => (long)(WordsWaitingPerSecond * Math.Min(1, choices.Flush.TotalSeconds));

    private static Exception? Try(Action action)
    {
        try
        {
            action();
            return null;
        }
#pragma warning disable CA1031 // whatever it is, files are closed and the summary printed before it is thrown on
        catch (Exception exception)
#pragma warning restore CA1031
        {
            return exception;
        }
    }

    // A folder that went away took them along: nothing is written under these names.
    private static bool IsThere(CapturedRecording recording) =>
        File.Exists(recording.Name + ".sigmf-meta") || File.Exists(recording.Name + ".sigmf-data");

    // What could not be written is not in it: the file says how much is.
    private static CapturedRecording AsItLies(CapturedRecording recording)
    {
        try
        {
            using RecordingReader reader = RecordingReader.Open(recording.Name);
            return recording with { Scans = reader.ScanCount };
        }
        catch (IOException)
        {
            return recording with { Scans = 0 };
        }
    }

    private CommandFailure Nothing(IScanSource source, RawTap? raw, int exitCode)
    {
        // Only bytes of the link protocol tell inspect more than was seen here.
        bool speaksLink = source is not ByteSource { Decoder: TextLinesDecoder or RawWordsDecoder };
        string came = source is ByteSource { Decoder: { BytesTaken: > 0 and var bytes } decoder and (TextLinesDecoder or RawWordsDecoder) }
            ? $"of {Whole(bytes)} bytes none became a scan; " + (decoder is TextLinesDecoder
                ? "a line is one decimal code within the bits for each channel, with commas between and with numbered=yes its number in front"
                : "a code is 16 bits, low byte first, with nothing above its bits but, with tagged=yes, its channel's number") + "; do channels= and bits= say what is sent?"
            : raw is { Bytes: > 0 }
                ? $"of {Whole(raw.Bytes)} bytes none became a scan; acquire inspect {choices.RawPath} says why"
                : $"no scan came; is the device on, is its rate the same{(speaksLink ? ", and does it speak the link protocol" : "")}? acquire capture --raw keeps what comes";
        return new CommandFailure(exitCode, $"{source.Name.TrimEnd(':')}: {came}");

        static string Whole(long count) => count.ToString("N0", CultureInfo.InvariantCulture);
    }

    /// <summary>Where the tap goes: the source is made before its file is, so that a wrong name leaves none behind.</summary>
    private sealed class TapSlot : IByteTap
    {
        public RawTap? Target { get; set; }

        public void Take(ReadOnlySpan<byte> bytes) => Target!.Take(bytes);

        public void Interrupt(GapCause cause) => Target!.Interrupt(cause);
    }
}
