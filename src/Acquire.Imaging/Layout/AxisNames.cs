using Acquire.Imaging.Charts;

namespace Acquire.Imaging.Layout;

/// <summary>Names of axes that follow from their units.</summary>
internal static class AxisNames
{
    public static string X(Chart chart) => chart.XName ?? chart.XUnit switch
    {
        "Hz" => "Frequency",
        "s" => "Time",
        "%" => "Sweep",
        "code" => "Ramp code",
        _ => "Position",
    };

    public static string Y(Chart chart) => chart.YName ?? Y(chart.YUnit);

    public static string Y(string unit) => unit switch
    {
        "V" => "Voltage",
        "W" => "Power",
        "code" => "Code",
        _ => "Level",
    };

    // A code is a count: its axis is named, and has no unit.
    public static string Unit(string unit) => unit is "code" ? "" : unit;
}
