using System.Globalization;
using Acquire.Imaging.Charts;

namespace Acquire.Imaging.Sheets;

/// <summary>Refuses charts whose parts do not belong together.</summary>
internal static class ChartChecks
{
    public static void Check(Chart chart)
    {
        CheckPositions(chart.Positions);
        if (chart.YRange is { } range && !(range.Low < range.High)) throw new ArgumentException($"YRange runs from {Text(range.Low)} to {Text(range.High)}; its high end must lie above its low end.", nameof(chart));
        int columns = chart.Positions.Length;
        switch (chart)
        {
            case TraceChart trace:
                CheckLength(nameof(trace.Values), trace.Values.Length, columns);
                CheckLength(nameof(trace.Lowest), trace.Lowest?.Length, columns);
                CheckLength(nameof(trace.Highest), trace.Highest?.Length, columns);
                CheckLength(nameof(trace.OlderValues), trace.OlderValues?.Length, columns);
                CheckLength(nameof(trace.Reference), trace.Reference?.Length, columns);
                CheckLength(nameof(trace.Trusted), trace.Trusted?.Length, columns);
                CheckLength(nameof(trace.AtOrBelow), trace.AtOrBelow?.Length, columns);
                CheckLength(nameof(trace.Bridged), trace.Bridged?.Length, columns);
                if (trace.FrontColumn is < 0) throw new ArgumentException($"FrontColumn is {trace.FrontColumn}; it counts from 0.", nameof(chart));
                break;
            case HistoryChart history:
                for (int i = 0; i < history.Rows.Count; i++) CheckLength($"Row {i}", history.Rows[i].Length, columns);
                CheckHistory(history);
                break;
            case ComparisonChart comparison:
                CheckLength(nameof(comparison.First), comparison.First.Length, columns);
                CheckLength(nameof(comparison.Second), comparison.Second.Length, columns);
                CheckLength(nameof(comparison.Difference), comparison.Difference?.Length, columns);
                break;
            default: break;
        }
    }

    private static void CheckHistory(HistoryChart history)
    {
        if (history.Rows.Count == 0) throw new ArgumentException("Rows is empty; a history has at least one row.", nameof(history));
        CheckLength(nameof(history.RowSeconds), history.RowSeconds.Length, history.Rows.Count);
        for (int i = 0; i < history.RowSeconds.Length; i++)
        {
            double seconds = history.RowSeconds[i];
            if (!double.IsFinite(seconds) || (i > 0 && seconds <= history.RowSeconds[i - 1])) throw new ArgumentException($"RowSeconds {i} is {Text(seconds)}; times are finite and each is later than the one before.", nameof(history));
        }

        foreach (HistorySection section in history.Sections)
        {
            if (section.Row < 0 || section.Row >= history.Rows.Count) throw new ArgumentException($"A section begins at row {section.Row}; it must be one of rows 0 to {history.Rows.Count - 1}.", nameof(history));
        }
    }

    private static void CheckPositions(double[] positions)
    {
        if (positions.Length == 0) throw new ArgumentException("Positions is empty; a chart has at least one column.", nameof(positions));
        double way = positions[^1] - positions[0];
        for (int i = 0; i < positions.Length; i++)
        {
            if (!double.IsFinite(positions[i])) throw new ArgumentException($"Position {i} is {Text(positions[i])}; positions are finite numbers.", nameof(positions));
            if (i > 0 && !((positions[i] - positions[i - 1]) * way > 0)) throw new ArgumentException($"Position {i} is {Text(positions[i])} after {Text(positions[i - 1])}; positions only rise or only fall.", nameof(positions));
        }
    }

    private static void CheckLength(string name, int? length, int columns)
    {
        if (length is { } actual && actual != columns) throw new ArgumentException($"{name} has {actual} values; it needs one for each of {columns}.", name);
    }

    private static string Text(double value) => value.ToString("R", CultureInfo.InvariantCulture);
}
