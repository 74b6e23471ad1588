using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Layout;

/// <summary>What stands left of the title block on a sheet with room: legend, tables, remarks, one under the other.</summary>
internal sealed class SidePanel(Canvas canvas, SideContent content, double width)
{
    private const int FoldAbove = 5;

    private readonly SheetMetrics _m = canvas.Metrics;

    private double RowPitch => Math.Ceiling(_m.Normal * 1.9);

    /// <summary>Height of everything, in pixels.</summary>
    public double Height
    {
        get
        {
            double height = 0;
            if (content.Ramp is not null) height += RampPainter.WideHeight(_m);
            height += LegendLines().Count * RowPitch;
            foreach (SideTable table in content.Tables) height += TableHeight(RowsHigh(table));
            height += RemarkLines().Count * RowPitch;
            return height;
        }
    }

    public void Draw(double left, double top, double maxHeight)
    {
        double bottom = top + maxHeight, y = top;
        canvas.Group("Legend", () =>
        {
            if (content.Ramp is { } ramp)
            {
                new RampPainter(canvas).DrawWide(ramp, left, y, Math.Min(width, _m.Normal * 36));
                y += RampPainter.WideHeight(_m);
            }

            Flow legend = Legend();
            List<List<Flow.PlacedWord>> lines = legend.Lay(width, Math.Max(1, (int)((bottom - y) / RowPitch)));
            foreach (List<Flow.PlacedWord> line in lines)
            {
                legend.Draw([line], left, y + (_m.Normal * 1.45));
                y += RowPitch;
            }

            foreach (string line in RemarkLines().TakeWhile(_ => y + RowPitch <= bottom))
            {
                canvas.Text(line, left, y + (_m.Normal * 1.45), _m.Small, canvas.Style.SoftInk);
                y += RowPitch;
            }
        });
        foreach (SideTable table in content.Tables) y = DrawTable(table, left, y, bottom);
    }

    private double TableHeight(int rows) => (RowPitch * (rows + 1)) + (_m.Normal * 0.8);

    private List<List<Flow.PlacedWord>> LegendLines() => Legend().Lay(width, 4);

    private List<string> RemarkLines() => [.. content.Remarks.SelectMany(r => Letterer.Wrap(r, _m.Small, width, 2))];

    private Flow Legend()
    {
        var flow = new Flow(canvas, _m.Small);
        foreach (LegendItem item in content.Legend) LegendSample.Add(flow, canvas, item, _m.Small);
        return flow;
    }

    // A long and narrow table is folded into two beside each other.
    private bool IsFolded(SideTable table) =>
        table.Rows.Count > FoldAbove && (NaturalWidths(table, table.Rows.Count, _m.Normal).Sum() + (Gap * table.Headers.Count)) * 2 <= width;

    private int RowsHigh(SideTable table) => IsFolded(table) ? (table.Rows.Count + 1) / 2 : table.Rows.Count;

    private double DrawTable(SideTable table, double left, double top, double bottom)
    {
        int room = (int)((bottom - top - (_m.Normal * 0.8)) / RowPitch) - 1;
        if (room < 1) return top;
        if (!IsFolded(table)) return DrawPart(table, 0, table.Rows.Count, left, top, room, width);
        int half = Math.Min(RowsHigh(table), room);
        double partWidth = (width - (Gap * 2)) / 2;
        double end = DrawPart(table, 0, half, left, top, room, partWidth);
        DrawPart(table, half, table.Rows.Count, left + partWidth + (Gap * 2), top, room, partWidth);
        return end;
    }

    private double DrawPart(SideTable table, int from, int to, double left, double top, int room, double partWidth)
    {
        bool isCut = room < to - from;
        int end = isCut ? from + room - 1 : to;
        double size = CellLetter(table, partWidth);
        (double[] lefts, double[] rights) = Columns(table, size, partWidth);
        double baseline = top + (_m.Normal * 0.8) + (_m.Normal * 1.35);
        canvas.Group(table.Headers[0], () =>
        {
            for (int c = 0; c < lefts.Length; c++) Cell(table.Headers[c], c, baseline, _m.Small, canvas.Style.SoftInk);
            double rule = baseline + (_m.Normal * 0.55);
            canvas.Rule(left, rule, left + rights[^1], rule, canvas.Style.Rule, _m.Thin);
            for (int r = from; r < end; r++)
            {
                baseline += RowPitch;
                for (int c = 0; c < lefts.Length; c++) Cell(table.Rows[r][c], c, baseline, size, canvas.Style.Ink);
            }

            if (isCut) canvas.Text($"… {to - end} more", left, baseline + RowPitch, _m.Small, canvas.Style.SoftInk);
        });
        return top + TableHeight(isCut ? room : end - from);

        void Cell(string text, int column, double at, double letter, Colour ink)
        {
            string shortened = Letterer.Shorten(text, letter, rights[column] - lefts[column]);
            if (IsText(table, column)) canvas.Text(shortened, left + lefts[column], at, letter, ink);
            else canvas.Text(shortened, left + rights[column], at, letter, ink, Align.Right);
        }
    }

    /// <summary>Whether every table shows all its numbers at this width.</summary>
    public bool IsWideEnough => content.Tables.All(t => NaturalWidths(t, t.Rows.Count, _m.Small).Where((_, c) => !(c > 0 && IsText(t, c))).Sum() + (Gap * (t.Headers.Count - 1)) <= width);

    private double Gap => _m.Normal * 1.6;

    private double CellLetter(SideTable table, double partWidth) =>
        NaturalWidths(table, table.Rows.Count, _m.Normal).Sum() + (Gap * (table.Headers.Count - 1)) <= partWidth ? _m.Normal : _m.Small;

    private double[] NaturalWidths(SideTable table, int rows, double letter)
    {
        double[] widths = new double[table.Headers.Count];
        for (int c = 0; c < widths.Length; c++)
        {
            widths[c] = Letterer.Measure(table.Headers[c], _m.Small);
            for (int r = 0; r < rows; r++) widths[c] = Math.Max(widths[c], Letterer.Measure(table.Rows[r][c], letter));
        }

        return widths;
    }

    // Each column as wide as its widest cell; when that is too much, words give way and numbers do not.
    private (double[] Lefts, double[] Rights) Columns(SideTable table, double letter, double partWidth)
    {
        int count = table.Headers.Count;
        double gap = Gap;
        double[] widths = NaturalWidths(table, table.Rows.Count, letter);
        double excess = widths.Sum() + (gap * (count - 1)) - partWidth;
        foreach (int c in Enumerable.Range(0, count).Where(c => IsText(table, c)).Reverse())
        {
            double give = Math.Clamp(excess, 0, Math.Max(0, widths[c] - (_m.Normal * 4)));
            widths[c] -= give;
            excess -= give;
        }

        double share = excess > 0 ? (partWidth - (gap * (count - 1))) / widths.Sum() : 1;
        double[] lefts = new double[count], rights = new double[count];
        double x = 0;
        for (int c = 0; c < count; c++)
        {
            (lefts[c], rights[c]) = (x, x + (widths[c] * share) + 0.01);
            x = rights[c] + gap;
        }

        return (lefts, rights);
    }

    private static bool IsText(SideTable table, int column) => column == 0 || (table.LastIsText && column == table.Headers.Count - 1);
}
