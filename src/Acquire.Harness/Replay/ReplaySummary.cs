using System.Globalization;
using Acquire.Harness.Inspect;
using Acquire.Harness.Measuring;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Harness.Shell;
using Acquire.Sweeps;

namespace Acquire.Harness.Replay;

/// <summary>What a replay prints for people.</summary>
internal sealed class ReplaySummary(PeopleTables tables)
{
    /// <summary>Prints sweeps, where the scans went, notes and files.</summary>
    public void Print(RecordingRun run, SweepEngine engine, ReplaySink sink, Measurement? measurement, OutputSet outputs)
    {
        double? rate = engine.Setup.Scan.ScanRateHz;
        string duration = rate is { } hz ? $", {Seconds(run.Reader.ScanCount / hz)} at {hz.ToString("R", CultureInfo.InvariantCulture)} scans/s" : "";
        tables.Line($"{run.Path}: {run.Reader.ScanCount} scans{duration}, {engine.Setup.Scan.ChannelCount} channels, {engine.Setup.Scan.Bits} bits");
        tables.Line(run.SetupPath is null ? "Setup: from the command line and the defaults" : $"Setup: {run.SetupPath}");
        tables.Line("");
        if (sink.Sweeps > 0)
        {
            tables.Table($"{Say.Count(sink.Sweeps, "sweep", "sweeps")}, {sink.CompleteSweeps} of them complete",
                [">sweep", ">from scan", ">to scan", rate is null ? ">scans" : ">time", "complete", "begins with", "ends with", "placement", ">in columns"],
                sink.Listed.Select(sweep => Row(sweep, rate)));
            if (sink.Sweeps > sink.Listed.Count)
            {
                tables.Line($"  {sink.Sweeps - sink.Listed.Count} more are left out here; --jsonl writes them all.");
                tables.Line("");
            }
        }
        else
        {
            tables.Line($"No sweep was found; acquire inspect {run.Path} says why.");
            tables.Line("");
        }

        Accounting a = engine.Accounting;
        tables.Table("Where the scans went", [">scans", ">in columns", ">overscan", ">retrace", ">rest", ">blanked", ">unassigned", ">lost", ">breaks"],
            [[.. new[] { a.Scans, a.InColumns, a.Overscan, a.Retrace, a.Rest, a.Blanked, a.Unassigned, a.Lost, a.Breaks }.Select(n => n.ToString(CultureInfo.InvariantCulture))]]);
        if (run.Reader.NotANumber > 0)
            tables.Line($"Note: {Say.Count(run.Reader.NotANumber, "value is", "values are")} not a number and left out.");
        else if (a.InvalidCodes > 0)
            tables.Line($"Note: {Say.Count(a.InvalidCodes, "code is", "codes are")} above {engine.Setup.Scan.FullCode}, the highest of {engine.Setup.Scan.Bits} bits, and left out; --bits says how many bits a code has.");
        if (run.Reader.Position < run.Reader.ScanCount) tables.Line($"Note: the run was stopped after {run.Reader.Position} of {run.Reader.ScanCount} scans; a sweep under way is not among the sweeps above.");
        if (measurement is not null) MeasurementTables.Print(tables, measurement);
        foreach (string note in measurement?.Notes ?? run.Notes) tables.Line("Note: " + note);
        foreach ((string option, string path) in outputs.Files) tables.Line($"Written: {path} ({option})");
    }

    private static string[] Row(SweepInfo sweep, double? rate) =>
    [
        sweep.Number.ToString(CultureInfo.InvariantCulture),
        sweep.StartScan.ToString(CultureInfo.InvariantCulture),
        sweep.EndScan.ToString(CultureInfo.InvariantCulture),
        rate is { } hz ? Seconds((sweep.EndPosition - sweep.StartPosition) / hz) : (sweep.EndPosition - sweep.StartPosition).ToString(CultureInfo.InvariantCulture),
        sweep.Complete ? "yes" : "no",
        WordNames.Of(sweep.StartReason),
        WordNames.Of(sweep.EndReason),
        WordNames.PlacementOf(sweep),
        sweep.ScansInColumns.ToString(CultureInfo.InvariantCulture),
    ];

    private static string Seconds(double seconds) =>
        seconds >= 1 ? seconds.ToString("0.###", CultureInfo.InvariantCulture) + " s" : (seconds * 1000).ToString("0.###", CultureInfo.InvariantCulture) + " ms";
}
