using Acquire.Harness.Options;
using Acquire.Harness.Output;
using Acquire.Harness.Shell;
using Acquire.Recordings;
using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Harness.Measuring;

/// <summary>Places the markers and measures the widths that were asked for.</summary>
internal static class MarkerPlacement
{
    /// <summary>Checks before the run that every marker can be placed on the axis.</summary>
    /// <param name="asked">Positions, peak, minimum.</param>
    /// <param name="axis">Sweep axis, or null.</param>
    /// <exception cref="CommandFailure">A position is none, or has no meaning without a sweep axis.</exception>
    public static void Check(IEnumerable<string> asked, SweepAxis? axis)
    {
        foreach (string marker in asked) _ = PositionOf(marker, axis);
    }

    /// <summary>Places markers.</summary>
    public static IReadOnlyList<PlacedMarker> Place(IEnumerable<string> asked, SweepAxis? axis, double[] positions, double[] values) =>
        [.. asked.Select((marker, index) => new PlacedMarker(NameOf(index), marker, marker switch
        {
            "peak" => TraceMarkers.Highest(positions, values),
            "minimum" => TraceMarkers.Lowest(positions, values),
            _ => TraceMarkers.ValueAt(positions, values, PositionOf(marker, axis)!.Value),
        }))];

    /// <summary>Measures the deepest notch or the highest peak, whichever stands out more from the trace's outer tenths.</summary>
    /// <param name="levelDb">Level from shoulder or top, below 0.</param>
    /// <param name="shoulder">Shoulder of a notch, or null: the median of the outer tenths.</param>
    /// <param name="positions">Centres of the columns.</param>
    /// <param name="values">Levels in decibels.</param>
    public static BandwidthReading Width(double levelDb, double? shoulder, double[] positions, double[] values)
    {
        double outer = TraceMarkers.Shoulder(values);
        MarkerReading top = TraceMarkers.Highest(positions, values), bottom = TraceMarkers.Lowest(positions, values);
        return top.IsFound && top.Value - outer > outer - bottom.Value
            ? TraceMarkers.PeakBandwidth(positions, values, levelDb)
            : TraceMarkers.NotchBandwidth(positions, values, levelDb, shoulder);
    }

    private static string NameOf(int index) =>
        index < 26 ? ((char)('A' + index)).ToString() : NameOf((index / 26) - 1) + (char)('A' + (index % 26));

    private static double? PositionOf(string marker, SweepAxis? axis)
    {
        const string option = "--marker";
        if (marker is "peak" or "minimum") return null;
        if (!Quantity.TryParse(marker, out Quantity position, out string? problem)) throw CommandFailure.Usage(option, problem);
        string unit = axis?.Unit ?? "%";
        if (string.Equals(position.Unit, unit, StringComparison.Ordinal)) return (double)position.Value;
        throw CommandFailure.Usage(option, axis is null
            ? $"'{marker}' has no place on a ramp without a sweep axis; add --axis START,END, or give per cent of the ramp, such as 50%"
            : $"'{marker}' is not in {unit}, the unit of the sweep axis; give it with its unit, such as {(unit is "s" ? "5ms" : "24kHz")}");
    }
}
