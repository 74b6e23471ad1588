using System.Globalization;
using Acquire.Harness.Inspect;
using Acquire.Harness.Output;
using Acquire.Harness.Shell;
using Acquire.Recordings;
using Acquire.Sources.Recording;

namespace Acquire.Harness.Capturing;

/// <summary>What a capture prints at its end.</summary>
internal static class CaptureSummary
{
    private const int RecordingsShown = 8;

    /// <summary>Prints it.</summary>
    public static void Print(PeopleTables tables, CaptureChoices choices, CaptureResult result)
    {
        // A capture of nothing that failed has nothing to tell but its failure.
        if (result.Recordings.Count == 0 && result.RawBytes is null or 0) return;
        string rate = result.RatesDiffer
            ? " at scan rates that differ"
            : result.Description.Scan.ScanRateHz is { } hz ? $", {Say.Seconds(result.Scans / hz)} at {Say.Number(hz, 9)} scans/s" : "";
        string losses = result.LostScans == 0 && result.Breaks == 0
            ? "nothing lost"
            : $"{Say.Count(result.LostScans, "scan", "scans")} lost in {Say.Count(result.Gaps, "gap", "gaps")}, {Say.Count(result.Breaks, "break", "breaks")}";
        tables.Line($"{choices.Name}: {Whole(result.Scans)} scans{rate}, {Say.Count(result.Sweeps, "complete sweep", "complete sweeps")}, {losses}");
        if (result.Description.Device.Length > 0) tables.Line($"The device calls itself: {VisibleText.Of(result.Description.Device, VisibleText.LongestWords)}");
        if (result.LastText is { } text) tables.Line($"Its last words: {VisibleText.Of(text, VisibleText.LongestWords)}");
        if (result.Reconnections > 0) tables.Line($"The connection was lost and made anew {Say.Count(result.Reconnections, "time", "times")}.");
        if (result.DeviceEnded) tables.Line("The device said that it stops.");
        foreach (CapturedRecording recording in result.Recordings.Take(RecordingsShown))
            tables.Line($"Written: {recording.Name}.sigmf-data, {recording.Name}.sigmf-meta, {recording.Name}{SetupFile.Extension}");
        if (result.Recordings.Count > RecordingsShown)
            tables.Line($"... and {Whole(result.Recordings.Count - RecordingsShown)} more, up to {result.Recordings[^1].Name}");
        if (result.RawBytes is { } bytes and > 0) tables.Line($"Written: {choices.RawPath}, {Whole(bytes)} bytes");
        if (result.Scans > 0) tables.Line($"Next: acquire replay {result.Recordings[0].Name}");
    }

    private static string Whole(long value) => value.ToString("N0", CultureInfo.InvariantCulture);
}
