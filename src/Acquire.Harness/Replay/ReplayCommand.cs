using System.CommandLine;
using Acquire.Harness.Options;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Harness.Shell;
using Acquire.Scales;

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
        VerticalReading[] readings = VerticalReading.Of(setup, choices.Unit);
        if (choices.Pace is not null && setup.Scan.ScanRateHz is null)
            throw CommandFailure.Usage("--pace", "the recording does not say how many scans a second were taken; leave --pace away");

        MeasurementChecks.Check(choices, setup, readings[0]);
        using OutputSet outputs = OutputSet.Open(choices.Outputs, run.FilesRead);
        using SweepLineWriter? lines = outputs.StreamOf("--jsonl") is { } stream ? new SweepLineWriter(stream, setup, readings) : null;
        ReplaySink sink = new()
        {
            Lines = lines,
            AllSweepsCsv = choices.AllSweeps && outputs.StreamOf("--csv") is { } all ? new SweepTableCsv(all, setup, readings) : null,
            Picker = choices.NeedsPicker ? new SweepPicker(setup, choices.SweepNumber, choices.Average) : null,
        };
        SweepEngine engine = new(setup, sink);
        run.Feed(engine, cancel, RunProgress.ForTerminal(parsed.InvocationConfiguration.Error), choices.PartialAt, choices.Pace);

        if (sink.Picker is { } picker) new ReplayResult(choices, run, setup, readings, picker, sink).Write(outputs, cancel);
        outputs.Commit();
        if (!outputs.UsesStandardOutput)
            new ReplaySummary(new PeopleTables(parsed.InvocationConfiguration.Output, Console.IsOutputRedirected)).Print(run, engine, sink, outputs);
        return ExitCode.Done;
    }
}
