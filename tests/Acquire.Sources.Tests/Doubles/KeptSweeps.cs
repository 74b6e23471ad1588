using System.Globalization;
using System.Text;
using Acquire.Capture;
using Acquire.Columns;
using Acquire.Sources.Sessions;
using Acquire.Sweeps;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>Every sweep that an engine of its own finds, as one comparable text each: the oracle for a session.</summary>
internal sealed class KeptSweeps : ISweepSink
{
    public List<string> Sweeps { get; } = [];

    public void SweepEnded(in SweepView sweep)
    {
        ColumnStatistics[] verticals = sweep.Verticals.ToArray();
        Sweeps.Add(TextOf(sweep.Info, sweep.Axis, verticals, sweep.Marks));
    }

    public static string TextOf(SweepReport report) => TextOf(report.Info, report.Axis, report.Verticals, report.Marks);

    private static string TextOf(SweepInfo info, ColumnAxis axis, IReadOnlyList<ColumnStatistics> verticals, ReadOnlySpan<ColumnMarks> marks)
    {
        StringBuilder text = new();
        text.Append(CultureInfo.InvariantCulture, $"{info} {axis}");
        foreach (ColumnStatistics vertical in verticals)
        {
            for (int c = 0; c < vertical.ColumnCount; c++)
                if (vertical.Counts[c] > 0) text.Append(CultureInfo.InvariantCulture, $" {c}:{vertical.Counts[c]},{vertical.CodeSums[c]},{vertical.HighestCodes[c]},{vertical.LowestCodes[c]}");
        }

        foreach (ColumnMarks mark in marks) text.Append(' ').Append((int)mark);
        return text.ToString();
    }
}
