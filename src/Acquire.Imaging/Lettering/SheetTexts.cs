using Acquire.Imaging.Charts;

namespace Acquire.Imaging.Lettering;

/// <summary>Makes texts of others fit for a sheet: what cannot be seen is written out, and no text is without end.</summary>
internal static class SheetTexts
{
    /// <summary>More than the widest sheet shows of one text; laying out costs by its length.</summary>
    private const int Longest = 400;

    /// <summary>A whole definition with visible texts.</summary>
    public static SheetDefinition Of(SheetDefinition definition) => new() { Chart = Of(definition.Chart), TitleBlock = Of(definition.TitleBlock) };

    [return: System.Diagnostics.CodeAnalysis.NotNullIfNotNull(nameof(text))]
    private static string? Of(string? text) => text is null ? null : VisibleText.Flowing(text, Longest);

    private static TitleBlock Of(TitleBlock block) => block with
    {
        Title = Of(block.Title),
        Supplement = Of(block.Supplement),
        Identification = Of(block.Identification),
        LegalOwner = Of(block.LegalOwner),
        Creator = Of(block.Creator),
        Source = Of(block.Source),
        Detector = Of(block.Detector),
        Domain = Of(block.Domain),
        Placement = Of(block.Placement),
        ScansPerColumn = Of(block.ScansPerColumn),
        Lost = Of(block.Lost),
        Settings = [.. block.Settings.Select(setting => new SheetEntry(Of(setting.Name), Of(setting.Value)))],
    };

    private static Chart Of(Chart chart)
    {
        Chart common = chart with { XUnit = Of(chart.XUnit), XName = Of(chart.XName), YUnit = Of(chart.YUnit), YName = Of(chart.YName), Law = Of(chart.Law) };
        return common switch
        {
            TraceChart trace => trace with
            {
                ReferenceName = Of(trace.ReferenceName),
                TraceName = Of(trace.TraceName),
                Markers = Of(trace.Markers),
                Bandwidths = [.. trace.Bandwidths.Select(width => width with { Kind = Of(width.Kind) })],
            },
            HistoryChart history => history with { Sections = [.. history.Sections.Select(section => section with { Label = Of(section.Label) })] },
            ComparisonChart comparison => comparison with
            {
                FirstName = Of(comparison.FirstName),
                SecondName = Of(comparison.SecondName),
                DifferenceUnit = Of(comparison.DifferenceUnit),
                Markers = Of(comparison.Markers),
            },
            _ => common,
        };
    }

    private static ChartMarker[] Of(IReadOnlyList<ChartMarker> markers) =>
        [.. markers.Select(marker => marker with { Name = Of(marker.Name), Note = Of(marker.Note) })];
}
