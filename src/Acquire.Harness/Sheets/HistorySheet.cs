using System.Globalization;
using Acquire.Columns;
using Acquire.Harness.Output;
using Acquire.Harness.Runs;
using Acquire.Imaging;
using Acquire.Imaging.Charts;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Harness.Sheets;

/// <summary>The chart sheet of the last sweeps as rows.</summary>
internal static class HistorySheet
{
    /// <summary>Describes the sheet.</summary>
    /// <param name="history">Holds one row at least.</param>
    /// <param name="axis">Where the columns lie.</param>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="vertical">0 is the first vertical.</param>
    /// <param name="reading">How the vertical is read.</param>
    /// <param name="facts">What the title block says beside the setup.</param>
    public static SheetDefinition Of(SweepHistory history, ColumnAxis axis, Setup setup, int vertical, VerticalReading reading, SheetFacts facts)
    {
        double scansPerSecond = setup.Scan.ScanRateHz ?? 1;
        List<double[]> rows = [];
        List<double> seconds = [];
        List<HistorySection> sections = [];
        for (int row = 0; row < history.Count; row++)
        {
            HistoryRow kept = history.Oldest(row);
            rows.Add(kept.Values.ToArray());
            seconds.Add(kept.Info.EndPosition / scansPerSecond);
            if (kept.StartsSection && row > 0) sections.Add(new HistorySection(row, ChangeOf(history.Oldest(row - 1).Info, kept.Info)));
        }

        HistoryRow newest = history.Newest(0);
        return new SheetDefinition
        {
            Chart = new HistoryChart
            {
                Positions = [.. Enumerable.Range(0, history.ColumnCount).Select(column => Positions.Of(setup.Axis, axis, column))],
                XUnit = setup.Axis?.Unit ?? "%",
                YUnit = reading.UnitName,
                Law = TitleBlocks.LawOf(reading.Values.Converter.Scale),
                Rows = rows,
                RowSeconds = [.. seconds],
                TimeUnit = setup.Scan.ScanRateHz is null ? "scans" : "s",
                Sections = sections,
            },
            TitleBlock = facts.TitleWith(TitleBlocks.SettingsOf(setup, vertical)) with
            {
                SweepNumber = newest.Info.Number,
                SweepTimeSeconds = !newest.Info.Complete ? null : (newest.Info.EndPosition - newest.Info.StartPosition) / setup.Scan.ScanRateHz,
                Detector = WordNames.Of(history.Choice.Detector),
                Domain = WordNames.DomainOf(history.Choice, reading.Values.Converter),
                Placement = WordNames.PlacementOf(newest.Info),
                ScansPerColumn = $"{((double)newest.Info.ScansInColumns / history.ColumnCount).ToString("0.#", CultureInfo.InvariantCulture)} on average",
            },
        };
    }

    // A mark that comes with another axis is the lesser news: what lies above cannot be compared anyway.
    private static string ChangeOf(in SweepInfo before, in SweepInfo after) =>
        before.AxisNumber != after.AxisNumber ? "another axis" : $"mark {after.MarkWord?.ToString(CultureInfo.InvariantCulture) ?? "not stated"}";
}
