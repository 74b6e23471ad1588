using Acquire.Imaging.Charts;
using Acquire.Imaging.Layout;

namespace Acquire.Imaging.Sheets;

/// <summary>Writes markers and bandwidths as tables.</summary>
internal static class MarkerTable
{
    /// <summary>A tenth of a column: finer digits of a position would say nothing.</summary>
    public static double Resolution(double[] positions) =>
        positions.Length < 2 ? 0 : Math.Abs(positions[^1] - positions[0]) / (positions.Length - 1) / 10;

    public static SideTable Of(IReadOnlyList<ChartMarker> markers, string xUnit, string yUnit, double resolution, double valueResolution)
    {
        bool hasNotes = markers.Any(m => !string.IsNullOrEmpty(m.Note));
        string[] headers = hasNotes ? ["Marker", "Position", "Value", "Note"] : ["Marker", "Position", "Value"];
        var rows = new List<IReadOnlyList<string>>();
        foreach (ChartMarker marker in markers)
        {
            string position = Quantity.Resolved(marker.Position, xUnit, resolution), value = double.IsFinite(marker.Value) ? Value(marker.Value, yUnit, valueResolution)
                : double.IsNegativeInfinity(marker.Value) ? "no input" : "unfilled";
            rows.Add(hasNotes ? [marker.Name, position, value, marker.Note ?? ""] : [marker.Name, position, value]);
        }

        return new SideTable(headers, rows, hasNotes);
    }

    public static SideTable Of(IReadOnlyList<ChartBandwidth> bandwidths, string xUnit, double resolution)
    {
        var rows = new List<IReadOnlyList<string>>();
        foreach (ChartBandwidth b in bandwidths)
        {
            double width = b.Upper - b.Lower, centre = b.Centre ?? ((b.Upper + b.Lower) / 2);
            rows.Add([$"{b.Kind}, {Quantity.Number(b.LevelDb, 2)}\u00A0dB", Position(width), Position(centre), Quantity.Significant(b.Q ?? (centre / width), "", 4), Position(b.Lower), Position(b.Upper)]);
        }

        return new SideTable(["Bandwidth", "Width", "Centre", "Q", "Lower", "Upper"], rows, LastIsText: false) { NeedsNames = true };

        string Position(double value) => Quantity.Resolved(value, xUnit, resolution);
    }

    // Hundredths of a decibel; other units to a small part of what the scale shows.
    public static string Value(double value, string unit, double resolution) =>
        unit.StartsWith("dB", StringComparison.Ordinal) ? Quantity.Join(Quantity.Number(value, 2), unit) : Quantity.Resolved(value, unit, resolution);
}
