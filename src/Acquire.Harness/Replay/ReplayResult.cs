using Acquire.Harness.Measuring;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Harness.Sheets;
using Acquire.Harness.Shell;
using Acquire.Imaging;
using Acquire.Imaging.Scenes;
using Acquire.Traces;

namespace Acquire.Harness.Replay;

/// <summary>Writes what is made when the run has ended: columns, the measurement, sheets.</summary>
/// <param name="choices">What was asked for.</param>
/// <param name="run">The recording.</param>
/// <param name="engine">The engine after the run.</param>
/// <param name="readings">How each vertical is read.</param>
/// <param name="outputs">Open outputs.</param>
internal sealed class ReplayResult(ReplayChoices choices, RecordingRun run, SweepEngine engine, VerticalReading[] readings, OutputSet outputs)
{
    /// <summary>Writes the measurement of the picked sweeps.</summary>
    /// <param name="measurement">What came out.</param>
    /// <param name="picked">The sweeps that it was made of.</param>
    public void WriteMeasurement(Measurement measurement, IReadOnlyList<KeptSweep> picked)
    {
        if (outputs.StreamOf("--json") is { } json) MeasurementJson.Write(json, measurement);
        if (outputs.StreamOf("--csv") is { } csv)
        {
            // An average or a difference has one value per column, a single sweep has all its detectors.
            if (choices.Average > 1 || choices.Reference is not null) MeasurementCsv.Write(csv, measurement);
            else new SweepTableCsv(csv, engine.Setup, readings).Write(picked[^1].AsView());
        }

        if (!choices.WantsSheet) return;
        string title = choices.Reference is not null ? "Trace against reference" : picked.Count > 1 ? "Averaged trace" : "Trace of one sweep";
        WriteSheet(MeasurementSheet.Of(measurement, engine.Setup, Facts(title)));
    }

    /// <summary>Writes the picture as it stands at the end of a run that was stopped.</summary>
    public void WritePartial()
    {
        if (outputs.StreamOf("--csv") is { } csv) new SweepTableCsv(csv, engine.Setup, readings).WriteTraces(engine);
        if (!choices.WantsSheet) return;
        ValueChoice choice = new(choices.Detector, readings[0].Unit, VerticalReading.DomainFor(choices.Detector, choices.Domain));
        WriteSheet(PartialSheet.Of(engine.Traces[0], engine, readings[0], choice, Facts($"Partial trace at scan {choices.PartialAt}")));
    }

    /// <summary>Writes the history, if it was asked for.</summary>
    /// <param name="history">The last sweeps, or null.</param>
    public void WriteHistory(SweepHistory? history)
    {
        if (history is null || outputs.StreamOf("--history-png") is not { } png) return;
        if (history.Count == 0)
            throw new CommandFailure(ExitCode.CheckFailed, $"{run.Path}: there is no sweep for a history in it; acquire inspect {run.Path} says why");
        SheetDefinition sheet = HistorySheet.Of(history, engine.Axis, engine.Setup, readings[0], Facts($"History of {history.Count} sweeps"));
        ChartSheet.Render(sheet, SheetSize.Page).WritePng(png);
    }

    private SheetFacts Facts(string title) => new()
    {
        Title = choices.Title ?? title,
        Source = Path.GetFileName(run.Reader.Name),
        Reference = choices.Reference is { } reference ? Path.GetFileName(reference) : null,
        Supplement = run.Reader.Description,
        Date = run.Reader.Started is { } started ? DateOnly.FromDateTime(started.UtcDateTime) : null,
        Lost = TitleBlocks.LostOf(engine.Accounting),
    };

    private void WriteSheet(SheetDefinition sheet)
    {
        Scene scene = ChartSheet.Render(sheet, SheetSize.Page);
        if (outputs.StreamOf("--png") is { } png) scene.WritePng(png);
        if (outputs.StreamOf("--svg") is { } svg) scene.WriteSvg(svg);
    }
}
