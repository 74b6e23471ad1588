using System.Globalization;
using Acquire.Imaging.Charts;
using Acquire.Imaging.Layout;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Sheets;

/// <summary>Draws one trace with what belongs to it.</summary>
internal sealed class TraceSheet(Canvas canvas, TraceChart chart) : ISheet
{
    private readonly SheetMetrics _m = canvas.Metrics;
    private readonly SheetStyle _style = canvas.Style;
    private readonly double _resolution = MarkerTable.Resolution(chart.Positions);

    public SideContent Side() => new()
    {
        Legend = Legend(),
        Tables = Tables(),
        Remarks = Remarks(),
    };

    public void Draw(Box area, bool isCompact)
    {
        ChartRange x = ValueRange.OfColumns(chart.Positions), y = YRange();
        var labels = new PlotLabels
        {
            XUnit = AxisNames.Unit(chart.XUnit),
            YUnit = AxisNames.Unit(chart.YUnit),
            XTitle = AxisNames.X(chart),
            YTitle = AxisNames.Y(chart),
            XTitleOnTop = isCompact,
            Dense = isCompact,
        };
        var frame = new PlotFrame(canvas, area, labels, x.Low, x.High, y.Low, y.High);
        var lines = new LinePainter(canvas, frame, chart.Positions);
        var ink = new InkMap(frame.Field);
        if (chart is { Lowest: { } lowest, Highest: { } highest }) lines.DrawBand("Lowest to highest", lowest, highest, IsFresh, _style.Envelope);
        frame.DrawGrid();
        if (chart.Reference is { } reference) ink.AddLine(lines.Draw(chart.ReferenceName, reference, static _ => true, static _ => LineManner.Sure, ReferencePens));
        if (chart.OlderValues is { } older) ink.AddLine(lines.Draw("Older", older, IsOlder(frame), static _ => LineManner.Sure, OlderPens));
        List<(double X, double Y)> points = lines.Draw(chart.TraceName, chart.Values, IsFresh, Manner, TracePens);
        ink.AddLine(points);
        AddBandEdges(frame, ink);
        DrawDownArrows(points, frame);
        DrawFront(frame);
        frame.DrawAxes();

        var taken = new List<Box>();
        var dimensions = new DimensionPainter(canvas, frame, ink, taken);
        foreach (ChartMarker marker in chart.Markers.Where(m => double.IsFinite(m.Value))) taken.Add(Around(frame.X.At(marker.Position), frame.Y.At(marker.Value)));
        foreach (ChartBandwidth bandwidth in chart.Bandwidths) dimensions.Draw(bandwidth, ValueAt, AxisNames.Unit(chart.XUnit), _resolution);
        new BalloonPainter(canvas, frame, ink, taken).Draw(chart.Markers);
    }

    private void AddBandEdges(PlotFrame frame, InkMap ink)
    {
        foreach (double[]? edge in (double[]?[])[chart.Lowest, chart.Highest])
        {
            if (edge is not null) ink.AddLine([.. edge.Select((v, i) => (frame.X.At(chart.Positions[i]), IsFresh(i) ? frame.Y.At(v) : double.NaN))]);
        }
    }

    private LinePens TracePens => new(_style.Trace, _m.TracePen);

    private LinePens OlderPens => new(_style.Older, _m.TracePen);

    private LinePens ReferencePens => new(_style.Reference, Math.Max(1, _m.TracePen * 0.75)) { Dash = [_m.TracePen * 5, _m.TracePen * 2.5] };

    private bool IsFresh(int column) => chart.FrontColumn is not { } front || (chart.FrontMovesDown ? column > front : column < front);

    // Older columns begin after a gap that the eye finds at once, whatever the number of columns.
    private Func<int, bool> IsOlder(PlotFrame frame)
    {
        if (chart.FrontColumn is not { } front) return column => double.IsNaN(chart.Values[column]);
        double gap = Math.Max(_m.Normal * 0.9, frame.Field.Width * 0.008), frontX = FrontX(frame, front);
        return column => !IsFresh(column) && Math.Abs(frame.X.At(chart.Positions[column]) - frontX) >= gap;
    }

    private double FrontX(PlotFrame frame, int front) => chart.Positions.Length == 0 ? frame.Field.Left : frame.X.At(chart.Positions[Math.Clamp(front, 0, chart.Positions.Length - 1)]);

    private LineManner Manner(int column)
    {
        if (chart.Bridged is { } bridged && bridged[column]) return LineManner.Bridged;
        if (chart.AtOrBelow is { } below && below[column]) return LineManner.AtOrBelow;
        return chart.Trusted is { } trusted && !trusted[column] ? LineManner.Untrusted : LineManner.Sure;
    }

    private ChartRange YRange() => chart.YRange ?? ValueRange.Around(
        [chart.Values, chart.Lowest, chart.Highest, chart.OlderValues, chart.Reference], chart.Markers.Count + chart.Bandwidths.Count > 0 ? 0.06 : 0);

    private void DrawFront(PlotFrame frame)
    {
        if (chart.FrontColumn is not { } front || front >= chart.Positions.Length) return;
        double x = FrontX(frame, front), half = _m.Small * 0.42, y = frame.Field.Top;
        canvas.Group("Front", () => canvas.Fill(new ScenePath().MoveTo(x - half, y).LineTo(x + half, y).LineTo(x, y + (half * 1.7)).Close(), _style.Ink));
    }

    private void DrawDownArrows(List<(double X, double Y)> points, PlotFrame frame)
    {
        if (chart.AtOrBelow is not { } below) return;
        double spacing = _m.Normal * 2.4, last = double.MinValue, length = _m.Small * 0.8, wing = _m.Small * 0.25;
        canvas.Group("At or below", () =>
        {
            foreach ((double x, double y) in points.Where((p, i) => below[i] && !double.IsNaN(p.Y)).OrderBy(p => p.X))
            {
                if (x - last < spacing || y + length + wing > frame.Field.Bottom) continue;
                last = x;
                double tip = y + length + (_m.TracePen * 0.5);
                canvas.Stroke(new ScenePath().MoveTo(x, y + _m.TracePen).LineTo(x, tip).MoveTo(x - wing, tip - wing).LineTo(x, tip).LineTo(x + wing, tip - wing), _style.Trace, Math.Max(1, _m.Thin));
            }
        });
    }

    private double ValueAt(double position)
    {
        for (int i = 1; i < chart.Positions.Length; i++)
        {
            double a = chart.Positions[i - 1], b = chart.Positions[i];
            if ((position - a) * (position - b) <= 0) return chart.Values[i - 1] + ((position - a) / (b - a) * (chart.Values[i] - chart.Values[i - 1]));
        }

        return double.NaN;
    }

    private Box Around(double x, double y) => new Box(x, y, x, y).Inflate(_m.Small * 0.5);

    private List<LegendItem> Legend()
    {
        List<LegendItem> items = [new(chart.TraceName, _style.Trace, _m.TracePen)];
        if (Has(LineManner.Untrusted)) items.Add(new("untrusted", _style.Trace, TracePens.WidthOf(LineManner.Untrusted)));
        if (Has(LineManner.AtOrBelow)) items.Add(new("at or below", _style.Trace, TracePens.WidthOf(LineManner.AtOrBelow), TracePens.DashOf(LineManner.AtOrBelow)));
        if (Has(LineManner.Bridged)) items.Add(new("bridged", _style.Trace, TracePens.WidthOf(LineManner.Bridged), TracePens.DashOf(LineManner.Bridged)));
        if (chart.OlderValues is not null)
        {
            string age = chart.OlderAgeSeconds is { } seconds ? $"older, by {Quantity.Significant(seconds, "s", 3)}" : "older, age not stated";
            items.Add(new(age, _style.Older, OlderPens.Width));
        }

        if (chart.Lowest is not null && chart.Highest is not null) items.Add(new("lowest to highest", _style.Envelope, 0));
        if (chart.Reference is not null) items.Add(new(chart.ReferenceName, _style.Reference, ReferencePens.Width, ReferencePens.Dash));
        return items;
    }

    private bool Has(LineManner manner) => Enumerable.Range(0, chart.Values.Length).Any(i => IsFresh(i) && double.IsFinite(chart.Values[i]) && Manner(i) == manner);

    private List<SideTable> Tables()
    {
        var tables = new List<SideTable>();
        if (chart.Markers.Count > 0) tables.Add(MarkerTable.Of(chart.Markers, AxisNames.Unit(chart.XUnit), AxisNames.Unit(chart.YUnit), _resolution, (YRange().High - YRange().Low) / 20_000));
        if (chart.Bandwidths.Count > 0) tables.Add(MarkerTable.Of(chart.Bandwidths, AxisNames.Unit(chart.XUnit), _resolution));
        return tables;
    }

    private List<string> Remarks()
    {
        var remarks = new List<string>();
        if (chart.FrontColumn is { } front && front < chart.Positions.Length)
        {
            string where = Quantity.Resolved(chart.Positions[front], AxisNames.Unit(chart.XUnit), _resolution);
            remarks.Add(string.Create(CultureInfo.InvariantCulture,
                $"Partial: the front is at column {front} of {chart.Positions.Length}, {where}{(chart.FrontMovesDown ? ", and moves towards the first" : "")}."));
        }

        // What an earlier sweep left is older, not unfilled.
        int unfilled = Enumerable.Range(0, chart.Values.Length).Count(i => IsFresh(i) && double.IsNaN(chart.Values[i]) && (chart.FrontColumn is not null || chart.OlderValues is not { } older || double.IsNaN(older[i])));
        if (unfilled > 0) remarks.Add($"{unfilled.ToString(CultureInfo.InvariantCulture)} of {chart.Values.Length.ToString(CultureInfo.InvariantCulture)} columns unfilled.");
        int without = Enumerable.Range(0, chart.Values.Length).Count(i => IsFresh(i) && double.IsNegativeInfinity(chart.Values[i]));
        if (without > 0) remarks.Add($"{without.ToString(CultureInfo.InvariantCulture)} of {chart.Values.Length.ToString(CultureInfo.InvariantCulture)} columns without input, infinitely far down.");
        if (chart.YRange is { } range)
        {
            int beyond = chart.Values.Where((v, i) => IsFresh(i) && (v < range.Low || v > range.High)).Count();
            if (beyond > 0) remarks.Add($"{beyond.ToString(CultureInfo.InvariantCulture)} columns lie beyond the scale.");
        }

        return remarks;
    }
}
