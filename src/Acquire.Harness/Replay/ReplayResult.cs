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
/// <param name="vertical">The vertical that is measured and drawn; 0 is the first.</param>
/// <param name="outputs">Open outputs.</param>
internal sealed class ReplayResult(ReplayChoices choices, RecordingRun run, SweepEngine engine, VerticalReading[] readings, int vertical, OutputSet outputs)
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
            else TableTo(csv).Write(picked[^1].AsView());
        }

        if (!choices.WantsSheet) return;
        string title = choices.Reference is not null ? "Trace against reference" : picked.Count > 1 ? "Averaged trace" : "Trace of one sweep";
        WriteSheet(MeasurementSheet.Of(measurement, engine.Setup, vertical, Facts(title)));
    }

    /// <summary>Writes both traces and their difference, if that was asked for.</summary>
    /// <param name="measurement">What came out.</param>
    /// <param name="taken">The trace as taken.</param>
    /// <param name="reference">The reference as taken.</param>
    public void WriteComparison(Measurement measurement, TakenTrace taken, TakenTrace reference)
    {
        if (!choices.WantsComparison) return;
        string unit = readings[vertical].UnitName;
        WriteSheet(ComparisonSheet.Of(measurement, taken, reference, engine.Setup, vertical, unit, Facts("Two recordings and their difference")), "--compare-png", "--compare-svg");
    }

    /// <summary>Writes the picture as it stands at the end of a run that was stopped.</summary>
    /// <param name="floor">The floor, or null where nobody knows it.</param>
    public void WritePartial(TraceFloor? floor)
    {
        if (outputs.StreamOf("--csv") is { } csv) TableTo(csv).WriteTraces(engine);
        if (!choices.WantsSheet) return;
        ValueChoice choice = new(choices.Detector, readings[vertical].Unit, VerticalReading.DomainFor(choices.Detector, choices.Domain));
        WriteSheet(PartialSheet.Of(engine.Traces[vertical], vertical, engine, readings[vertical], choice, floor, Facts($"Partial trace at scan {choices.PartialAt}")));
    }

    private SweepTableCsv TableTo(Stream stream)
    {
        SweepTableCsv.WriteHeader(stream, engine.Setup);
        return new SweepTableCsv(stream, engine.Setup, readings);
    }

    /// <summary>Writes the history, if it was asked for.</summary>
    /// <param name="history">The last sweeps, or null.</param>
    public void WriteHistory(SweepHistory? history)
    {
        if (history is null) return;
        if (history.Count == 0)
            throw new CommandFailure(ExitCode.CheckFailed, $"{run.Path}: there is no sweep for a history in it; acquire inspect {run.Path} says why");
        SheetDefinition sheet = HistorySheet.Of(history, engine.Axis, engine.Setup, vertical, readings[vertical], Facts($"History of {history.Count} sweeps"));
        WriteSheet(sheet, "--history-png", "--history-svg");
    }

    private SheetFacts Facts(string title) => new()
    {
        Title = choices.Title ?? title,
        Source = Path.GetFileName(run.Reader.Name),
        Reference = choices.Reference is { } reference ? NameOf(reference) : null,
        Supplement = run.Reader.Description,
        Date = run.Reader.Started is { } started ? DateOnly.FromDateTime(started.UtcDateTime) : null,
        Lost = TitleBlocks.LostOf(engine.Accounting),
    };

    // Files of one name lie in folders of two names: then the whole path tells them apart.
    private string NameOf(string reference)
    {
        string own = Path.GetFileName(run.Reader.Name), name = Path.GetFileName(reference);
        bool same = string.Equals(name, own, StringComparison.Ordinal) || string.Equals(Path.GetFileNameWithoutExtension(name), own, StringComparison.Ordinal);
        return same ? reference : name;
    }

    private void WriteSheet(SheetDefinition sheet, string pngOption = "--png", string svgOption = "--svg")
    {
        Scene scene = ChartSheet.Render(sheet, choices.Size, choices.Style);
        if (outputs.StreamOf(pngOption) is { } png) scene.WritePng(png);
        if (outputs.StreamOf(svgOption) is { } svg) scene.WriteSvg(svg);
    }
}
