using System.CommandLine;
using Acquire.Harness.Measuring;
using Acquire.Harness.Options;
using Acquire.Harness.Runs;
using Acquire.Harness.Shell;

namespace Acquire.Harness.Replay;

/// <summary>Takes the trace of another recording likewise: the reference, or the floor.</summary>
/// <param name="parsed">The command line, whose setup options hold here too.</param>
/// <param name="setupOptions">Reads them.</param>
/// <param name="choices">What was asked for of the main recording.</param>
/// <param name="filesRead">Gets the files that were read.</param>
internal sealed class TraceTaker(ParseResult parsed, SetupOptions setupOptions, ReplayChoices choices, List<string> filesRead)
{
    /// <summary>Runs the recording and takes its trace.</summary>
    /// <param name="option">The option that named the recording.</param>
    /// <param name="path">The recording.</param>
    /// <param name="cancel">Stops between two reads.</param>
    /// <exception cref="CommandFailure">The recording cannot be used, or holds no complete sweep.</exception>
    public TakenTrace Take(string option, string path, CancellationToken cancel)
    {
        using RecordingRun run = RecordingRun.Open(path, parsed, setupOptions);
        filesRead.AddRange(run.FilesRead);
        Setup setup = VerticalReading.WithDomains(run.Setup, choices.Unit, [choices.Detector], choices.Domain);
        int vertical = choices.VerticalOf(setup);
        VerticalReading reading = VerticalReading.Of(setup, choices.Unit, choices.Domain)[vertical];
        SweepPicker picker = new(setup, number: null, choices.Average);
        ReplaySink sink = new() { Picker = picker };
        run.Feed(new SweepEngine(setup, sink), cancel);
        return picker.Picked.Count > 0
            ? TakenTrace.Of(setup, reading, vertical, picker.Picked, choices.Detector, choices.Domain)
            : throw new CommandFailure(ExitCode.CheckFailed, $"{option} {path}: no complete sweep among {sink.Sweeps}; acquire inspect {path} says why");
    }
}
