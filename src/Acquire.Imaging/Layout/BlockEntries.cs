using System.Globalization;
using Acquire.Imaging.Charts;

namespace Acquire.Imaging.Layout;

/// <summary>The lines of the title block in the order of printing.</summary>
internal static class BlockEntries
{
    public static List<SheetEntry> Of(TitleBlock block, Chart chart) =>
    [
        new("Source", block.Source),
        new("Sweep", block.SweepNumber?.ToString(CultureInfo.InvariantCulture)),
        new("Sweep time, measured", block.SweepTimeSeconds is { } time ? Quantity.Significant(time, "s", 5) : null),
        new("Detector", block.Detector),
        new("Domain", block.Domain),
        new("Placement", block.Placement),
        new("Scans per column", block.ScansPerColumn),
        new("Lost", block.Lost),
        new("Vertical law", chart.Law),
        .. block.Settings,
    ];

    public static string Sheet(TitleBlock block) => $"{block.SheetNumber.ToString(CultureInfo.InvariantCulture)} of {block.SheetCount.ToString(CultureInfo.InvariantCulture)}";

    public static string? Date(TitleBlock block) => block.Date?.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
}
