using Acquire.Columns;
using Acquire.Scales;

namespace Acquire.Harness.Output;

/// <summary>Where a column's centre lies, in hertz or seconds with a sweep axis and in per cent of the ramp without one.</summary>
internal static class Positions
{
    /// <summary>Name of the quantity, with its unit.</summary>
    public static string NameOf(SweepAxis? axis) => axis is null ? "positionPercent" : axis.Unit is "s" ? "positionSeconds" : "positionHz";

    /// <summary>Position of a column's centre.</summary>
    public static double Of(SweepAxis? axis, ColumnAxis columns, int column) =>
        axis is null ? 100 * (column + 0.5) / columns.ColumnCount : axis.ValueAt(columns.CentreOf(column));
}
