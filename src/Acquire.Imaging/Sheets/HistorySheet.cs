using System.Globalization;
using Acquire.Imaging.Charts;
using Acquire.Imaging.Layout;
using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Sheets;

/// <summary>Draws a history: rows of colour, time running downwards, sections marked at the right.</summary>
internal sealed class HistorySheet(Canvas canvas, HistoryChart chart) : ISheet
{
    private readonly SheetMetrics _m = canvas.Metrics;
    private readonly ChartRange _levels = chart.YRange ?? LevelsOf(chart);

    public SideContent Side() => new()
    {
        Ramp = new RampScale(_levels.Low, _levels.High, AxisNames.Unit(chart.YUnit), AxisNames.Y(chart), canvas.Style.Ramp),
        Legend = HasUnfilled() ? [new LegendItem("unfilled", canvas.Style.Older, 0) { IsHatched = true }] : [],
        Tables = chart.Sections.Count == 0 ? [] : [SectionTable()],
        Remarks = [$"{chart.Rows.Count.ToString(CultureInfo.InvariantCulture)} sweeps, oldest on top; a pixel shows its highest value."],
    };

    public void Draw(Box area, bool isCompact)
    {
        ChartRange x = ValueRange.OfColumns(chart.Positions);
        double usual = HistoryImage.UsualSpacing(chart.RowSeconds);
        double start = chart.RowSeconds[0] - usual, end = chart.RowSeconds[^1];
        Box room = chart.Sections.Count == 0 ? area : area.Inset(0, 0, _m.Small * 2.6, 0);
        var labels = new PlotLabels
        {
            XUnit = AxisNames.Unit(chart.XUnit),
            YUnit = chart.TimeUnit,
            XTitle = AxisNames.X(chart),
            YTitle = "Time, downwards,",
            XTitleOnTop = isCompact,
            YDownwards = true,
            Dense = isCompact,
        };
        var frame = new PlotFrame(canvas, room, labels, x.Low, x.High, start, end);
        canvas.Group("History", () => canvas.Add(new HistoryImage(canvas, frame, chart, _levels).Paint()));
        frame.DrawAxes();
        DrawSections(frame);
    }

    private void DrawSections(PlotFrame frame)
    {
        double radius = _m.Small * 0.95, x = frame.Field.Right + (_m.Small * 2.2), free = frame.Field.Top - radius;
        SheetStyle style = canvas.Style;
        for (int i = 0; i < chart.Sections.Count; i++)
        {
            double y = frame.Y.At(SectionStart(i));
            // Marks that come close together move down and keep a leader to their line.
            double markY = Math.Max(y, free + radius + (_m.Small * 0.4));
            bool hasMark = markY + radius <= frame.Field.Bottom + (_m.Small * 2);
            free = hasMark ? markY + radius : free;
            string name = SectionName(i);
            Box? mark = hasMark ? new Box(x - radius, markY - radius, x + radius, markY + radius) : null;
            canvas.Group($"Section {name}", () =>
            {
                canvas.Rule(frame.Field.Left, y, frame.Field.Right, y, style.Paper, _m.Medium + (_m.Thin * 2));
                canvas.Rule(frame.Field.Left, y, frame.Field.Right, y, style.Ink, _m.Medium);
                if (mark is not { } box) return;
                canvas.Stroke(new ScenePath().MoveTo(frame.Field.Right, Math.Floor(y) + 0.5).LineTo(x - radius - (_m.Small * 0.5), markY).LineTo(x - radius, markY), style.Ink, _m.Medium);
                canvas.Stroke(ScenePath.Circle(x, markY, radius), style.Ink, _m.Medium);
                canvas.Text(name, x, markY + (_m.Small / 2), _m.Small, style.Ink, Align.Centre);
            }, symbol: mark?.Inflate(_m.Medium / 2));
        }
    }

    private SideTable SectionTable()
    {
        double grain = HistoryImage.UsualSpacing(chart.RowSeconds) / 10;
        List<IReadOnlyList<string>> rows = [.. chart.Sections.Select((s, i) => (IReadOnlyList<string>)
            [SectionName(i), Quantity.Resolved(SectionStart(i), chart.TimeUnit, grain), s.Row.ToString(CultureInfo.InvariantCulture), s.Label])];
        return new SideTable(["Section", "From", "Row", "Change"], rows, LastIsText: true) { NeedsNames = true };
    }

    private static string SectionName(int index) => (index + 1).ToString(CultureInfo.InvariantCulture);

    private double SectionStart(int index)
    {
        return HistoryImage.StartOf(chart.RowSeconds, chart.Sections[index].Row, HistoryImage.UsualSpacing(chart.RowSeconds));
    }

    private bool HasUnfilled()
    {
        double usual = HistoryImage.UsualSpacing(chart.RowSeconds);
        bool isLate = Enumerable.Range(0, chart.RowSeconds.Length).Any(row => HistoryImage.IsLate(chart.RowSeconds, row, usual));
        return isLate || chart.Rows.Any(row => row.Any(double.IsNaN));
    }

    private static ChartRange LevelsOf(HistoryChart chart) => ValueRange.Around(chart.Rows, 0);
}
