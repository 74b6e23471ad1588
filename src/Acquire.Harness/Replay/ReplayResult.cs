using Acquire.Harness.Measuring;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Harness.Shell;

namespace Acquire.Harness.Replay;

/// <summary>What is written once the run has ended: the picked sweep's columns, the measurement, sheets.</summary>
internal sealed class ReplayResult(
    ReplayChoices choices, RecordingRun run, Setup setup, VerticalReading[] readings, SweepPicker picker, ReplaySink sink)
{
    /// <summary>Writes everything that was asked for.</summary>
    /// <param name="outputs">Open outputs.</param>
    /// <param name="cancel">Stops between two outputs.</param>
    public void Write(OutputSet outputs, CancellationToken cancel)
    {
        IReadOnlyList<KeptSweep> picked = Picked();
        cancel.ThrowIfCancellationRequested();
        if (outputs.StreamOf("--json") is { } json) MeasurementJson.Write(json, Measure(picked));
        if (outputs.StreamOf("--csv") is { } csv) new SweepTableCsv(csv, setup, readings).Write(picked[^1].AsView());
    }

    private Measurement Measure(IReadOnlyList<KeptSweep> picked)
    {
        VerticalReading reading = readings[0];
        AveragedTrace trace = AveragedTrace.Of(reading, 0, picked, choices.Detector, choices.Domain);
        KeptSweep last = trace.Last;
        double[] values = trace.Values;
        double[] positions = [.. Enumerable.Range(0, values.Length).Select(column => Positions.Of(setup.Axis, last.Axis!, column))];
        return new Measurement
        {
            Axis = setup.Axis,
            SweepsUsed = trace.SweepsUsed,
            SweepTimeSeconds = trace.SweepScans / setup.Scan.ScanRateHz,
            Unit = reading.UnitName,
            Detector = WordNames.Of(choices.Detector),
            Placement = WordNames.PlacementOf(last.Info),
            SettlingColumns = last.Info.SettlingColumns,
            Positions = positions,
            Values = values,
            Trusted = [.. values.Select(double.IsFinite)],
            Counts = trace.Counts,
            Markers = MarkerPlacement.Place(choices.Markers, setup.Axis, positions, values),
            Bandwidths = [.. choices.BandwidthsDb.Select(level => MarkerPlacement.Width(level, choices.ShoulderDb, positions, values))],
            Notes = run.Notes,
        };
    }

    private IReadOnlyList<KeptSweep> Picked()
    {
        IReadOnlyList<KeptSweep> picked = picker.Picked;
        if (picked.Count > 0) return picked;
        string sweeps = $"{sink.Sweeps} {(sink.Sweeps == 1 ? "sweep" : "sweeps")}";
        if (choices.SweepNumber is { } number)
            throw new CommandFailure(ExitCode.CheckFailed, $"{run.Path}: sweep {number} is not in it, it has {sweeps} counted from 0; give a number below {sink.Sweeps} with --sweep");
        if (choices.NeedsComplete || picker.Last is not { } last)
            throw new CommandFailure(ExitCode.CheckFailed, $"{run.Path}: no complete sweep among {sweeps}; acquire inspect {run.Path} says why");
        return [last];
    }
}
