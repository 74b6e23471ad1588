using System.Globalization;
using Acquire.Imaging.Charts;

namespace Acquire.Imaging.Sheets;

/// <summary>Refuses nulls where a definition or a style says that there are none; a caller without nullable references, or a reader of its file, may bring them along.</summary>
internal static class NullChecks
{
    public static void Check(SheetDefinition definition)
    {
        CheckChart(There(definition.Chart, nameof(definition.Chart)));
        TitleBlock block = There(definition.TitleBlock, nameof(definition.TitleBlock));
        There(block.Title, "TitleBlock.Title");
        CheckEach(block.Settings, "TitleBlock.Settings", (entry, name) => There(entry.Name, $"{name}.Name"));
    }

    public static void Check(SheetStyle style)
    {
        if (style.Ramp is null) throw new ArgumentException("Ramp is null; give the colours of a history.", nameof(style));
    }

    private static void CheckChart(Chart chart)
    {
        There(chart.Positions, "Chart.Positions");
        There(chart.XUnit, "Chart.XUnit");
        There(chart.YUnit, "Chart.YUnit");
        switch (chart)
        {
            case TraceChart trace:
                There(trace.Values, "Chart.Values");
                There(trace.TraceName, "Chart.TraceName");
                There(trace.ReferenceName, "Chart.ReferenceName");
                CheckMarkers(trace.Markers);
                CheckEach(trace.Bandwidths, "Chart.Bandwidths", (bandwidth, name) => There(bandwidth.Kind, $"{name}.Kind"));
                break;
            case HistoryChart history:
                CheckEach(history.Rows, "Chart.Rows", static (_, _) => { });
                There(history.RowSeconds, "Chart.RowSeconds");
                There(history.TimeUnit, "Chart.TimeUnit");
                CheckEach(history.Sections, "Chart.Sections", (section, name) => There(section.Label, $"{name}.Label"));
                break;
            case ComparisonChart comparison:
                There(comparison.First, "Chart.First");
                There(comparison.FirstName, "Chart.FirstName");
                There(comparison.Second, "Chart.Second");
                There(comparison.SecondName, "Chart.SecondName");
                CheckMarkers(comparison.Markers);
                break;
            default: break;
        }
    }

    private static void CheckMarkers(IReadOnlyList<ChartMarker> markers) =>
        CheckEach(markers, "Chart.Markers", (marker, name) => There(marker.Name, $"{name}.Name"));

    private static void CheckEach<T>(IReadOnlyList<T> list, string name, Action<T, string> check)
        where T : class
    {
        There(list, name);
        for (int i = 0; i < list.Count; i++)
        {
            string element = string.Create(CultureInfo.InvariantCulture, $"{name}[{i}]");
            check(There(list[i], element), element);
        }
    }

    private static T There<T>(T? value, string member, string parameter = "definition")
        where T : class =>
        value ?? throw new ArgumentException($"{member} is null; give a value, or leave the member out where it has a default.", parameter);
}
