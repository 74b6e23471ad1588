using System.CommandLine;
using Acquire.Harness.Measuring;
using Acquire.Harness.Options;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Harness.Shell;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Harness.Replay;

/// <summary>The verb <c>replay</c>: a recording through the engine.</summary>
internal static class ReplayCommand
{
    /// <summary>Builds the verb.</summary>
    public static Command Create()
    {
        Command command = new("replay", "Feed a recording through the engine: sweeps, traces, measurements, chart sheets.");
        ReplayOptions options = new();
        SetupOptions setupOptions = new();
        options.AddTo(command);
        setupOptions.AddTo(command);
        command.Runs((parsed, cancel) => Run(parsed, options.Read(parsed), setupOptions, cancel));
        return command;
    }

    private static int Run(ParseResult parsed, ReplayChoices choices, SetupOptions setupOptions, CancellationToken cancel)
    {
        using RecordingRun run = RecordingRun.Open(choices.Recording, parsed, setupOptions);
        Setup setup = VerticalReading.WithDomains(run.Setup, choices.Unit, choices.DetectorsRead, choices.Domain);
        VerticalReading[] readings = VerticalReading.Of(setup, choices.Unit, choices.Domain);
        int vertical = choices.VerticalOf(setup);
        ReplayChecks.Check(choices, setup, readings[vertical]);
        // The setup's place is the setup's, also when there is none: what is written there would be read as one from then on.
        List<string> filesRead = [.. run.FilesRead, run.SetupPlace];
        TraceTaker taker = new(parsed, setupOptions, choices, filesRead);
        TakenTrace? reference = choices.Reference is { } path ? taker.Take("--reference", path, cancel) : null;
        TraceFloor? floor = choices.FloorDb is { } floorDb ? TraceFloor.Stated(floorDb)
            : choices.FloorRecording is { } terminated ? TraceFloor.Recorded(taker.Take("--floor", terminated, cancel).ToReference())
            : null;

        using OutputSet outputs = OutputSet.Open(choices.Outputs, filesRead, choices.Wav is { } wav ? [("--wav", wav)] : []);
        using SweepWriting? writing = WritingOf(choices, outputs, setup);
        ReplaySink sink = new()
        {
            Writing = writing,
            Picker = choices.NeedsPicker ? new SweepPicker(setup, choices.SweepNumber, choices.Average) : null,
            History = choices.WantsHistory ? HistoryOf(choices, setup, readings[vertical]) : null,
            Vertical = vertical,
        };
        SweepEngine engine = new(setup, sink);
        run.Feed(engine, cancel, RunProgress.ForTerminal(parsed.InvocationConfiguration.Error), choices.PartialAt, choices.Pace);
        writing?.Complete();
        if (choices.SweepNumber >= sink.Sweeps) throw NoSuchSweep(choices, run, sink);

        ReplayResult result = new(choices, run, engine, readings, vertical, outputs);
        Measurement? measurement = null;
        if (sink.Picker is { } picker)
        {
            IReadOnlyList<KeptSweep> picked = Picked(choices, run, picker, sink);
            TakenTrace taken = TakenTrace.Of(setup, readings[vertical], vertical, picked, choices.Detector, choices.Domain);
            measurement = MeasurementBuilder.Build(choices, setup, vertical, readings[vertical], taken, reference, floor, setupOptions.SetupPath(parsed), NotesOf(run, choices, taken, reference));
            result.WriteMeasurement(measurement, picked);
            if (reference is not null) result.WriteComparison(measurement, taken, reference);
        }

        if (choices.PartialAt is not null) result.WritePartial(floor);
        result.WriteHistory(sink.History);
        IReadOnlyList<string> wavNotes = choices.Wav is null ? [] : WavExport.Write(choices.Wav, run, cancel);
        outputs.Commit();
        if (!outputs.UsesStandardOutput)
        {
            PeopleTables tables = new(parsed.InvocationConfiguration.Output, Console.IsOutputRedirected);
            new ReplaySummary(tables).Print(run, engine, sink, choices.WantsMeasurement ? measurement : null, outputs);
            foreach (string note in wavNotes) tables.Line("Note: " + note);
        }

        return ExitCode.Done;
    }

    private static SweepWriting? WritingOf(ReplayChoices choices, OutputSet outputs, Setup setup)
    {
        Stream? lines = outputs.StreamOf("--jsonl"), table = choices.AllSweeps ? outputs.StreamOf("--csv") : null;
        if (lines is null && table is null) return null;
        if (table is not null) SweepTableCsv.WriteHeader(table, setup);
        return new SweepWriting(setup, () => new SweepText(lines, table, setup, choices.Unit, choices.Domain));
    }

    private static IEnumerable<string> NotesOf(RecordingRun run, ReplayChoices choices, TakenTrace taken, TakenTrace? reference)
    {
        foreach (string note in run.Notes) yield return note;
        if (taken.SweepsUsed < choices.Average)
            yield return $"An average of {choices.Average} sweeps was asked for, but the recording has {taken.SweepsUsed} complete ones on one axis.";
        if (reference?.SweepsUsed < choices.Average)
            yield return $"An average of {choices.Average} sweeps was asked for, but the reference has {reference.SweepsUsed} complete ones on one axis.";
    }

    private static SweepHistory HistoryOf(ReplayChoices choices, Setup setup, VerticalReading reading)
    {
        // A sheet is about a thousand rows high; what is older would not be seen.
        const int mostRows = 1_000;
        int depth = setup.Traces.HistorySweeps > 0 ? Math.Min(setup.Traces.HistorySweeps, mostRows) : mostRows;
        ValueChoice choice = new(choices.Detector, reading.Unit, VerticalReading.DomainFor(choices.Detector, choices.Domain));
        return new SweepHistory(reading.Values, setup.Columns.ColumnCount, choice, depth, setup.Traces.CountAborted);
    }

    private static IReadOnlyList<KeptSweep> Picked(ReplayChoices choices, RecordingRun run, SweepPicker picker, ReplaySink sink)
    {
        IReadOnlyList<KeptSweep> picked = picker.Picked;
        if (picked.Count > 0) return picked;
        string sweeps = SweepsOf(sink);

        // A ramp turned by hand is never complete; what stands there is the picture.
        bool needsComplete = choices.WantsMeasurement && run.Setup.Sweep.Mode != SweepMode.Manual;
        if (needsComplete || picker.Last is not { } last)
            throw new CommandFailure(ExitCode.CheckFailed, $"{run.Path}: no complete sweep among {sweeps}; acquire inspect {run.Path} says why");
        return [last];
    }

    private static CommandFailure NoSuchSweep(ReplayChoices choices, RecordingRun run, ReplaySink sink) =>
        new(ExitCode.CheckFailed, $"{run.Path}: sweep {choices.SweepNumber} is not in it, it has {SweepsOf(sink)}, counted from 0; give another with --sweep");

    private static string SweepsOf(ReplaySink sink) => $"{sink.Sweeps} {(sink.Sweeps == 1 ? "sweep" : "sweeps")}";
}
