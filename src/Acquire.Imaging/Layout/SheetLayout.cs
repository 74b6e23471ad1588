using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Layout;

/// <summary>Shares a sheet between the chart, the title block in the lower right corner, and what stands beside it.</summary>
internal sealed class SheetLayout
{
    // The block may take this share of the height; a sheet where it would take more gets the compact one.
    private const double WideShare = 0.42, CompactShare = 0.34;

    // Height that a chart keeps beside a wide block, in letters.
    private const double LeastChart = 36;

    private static readonly double[] s_blockWidths = [0.5, 0.56, 0.62, 0.7];

    private readonly Canvas _canvas;
    private readonly SheetDefinition _definition;
    private readonly SideContent _content;
    private readonly IReadOnlyList<SheetEntry> _entries;
    private readonly Box _frame;

    public SheetLayout(Canvas canvas, SheetDefinition definition, SideContent content, double width, double height)
    {
        (_canvas, _definition, _content) = (canvas, definition, content);
        _entries = BlockEntries.Of(definition.TitleBlock, definition.Chart);
        _frame = new Box(0, 0, width, height).Inflate(-canvas.Metrics.Margin);
    }

    /// <summary>Draws frame and title block.</summary>
    /// <returns>What is left for the chart, and whether it is a small sheet.</returns>
    public (Box Area, bool IsCompact) Draw()
    {
        _canvas.Frame(_frame, _canvas.Style.Rule, _canvas.Metrics.Thick);
        return TryDrawWide() is { } area ? (area, false) : (DrawCompact(), true);
    }

    private Box? TryDrawWide()
    {
        SheetMetrics m = _canvas.Metrics;
        double gap = m.Normal * 1.6, limit = Math.Min(_frame.Height * WideShare, _frame.Height - (m.Normal * LeastChart));
        (WideTitleBlock Block, SidePanel Side, double Width, double Strip)? best = null;
        foreach (double share in s_blockWidths)
        {
            double width = Math.Round(_frame.Width * share), sideWidth = _frame.Width - width - (gap * 2);
            if (width < m.Normal * 50 || sideWidth < m.Normal * 24) continue;
            var block = new WideTitleBlock(_canvas, _definition.TitleBlock, _entries, width);
            if (block.Height > limit) continue;
            var side = new SidePanel(_canvas, _content, sideWidth);
            double strip = Math.Clamp(side.Height + (m.Normal * 1.2), block.Height, Math.Max(block.Height, limit));
            // A block so wide that the tables beside it lose their numbers is worse than a taller one.
            if (best is null || (side.IsWideEnough && strip < best.Value.Strip)) best = (block, side, width, strip);
        }

        if (best is not { } chosen) return null;
        double top = _frame.Bottom - chosen.Strip;
        chosen.Block.Draw(_frame.Right - chosen.Width, _frame.Bottom - chosen.Block.Height);
        chosen.Side.Draw(_frame.Left + gap, top, chosen.Strip - (m.Normal * 0.6));
        return new Box(_frame.Left + (m.Normal * 1.2), _frame.Top + (m.Normal * 0.8), _frame.Right - (m.Normal * 0.6), top - (m.Normal * 0.4));
    }

    private Box DrawCompact()
    {
        SheetMetrics m = _canvas.Metrics;
        int lines = Math.Max(2, (int)(_frame.Height * CompactShare / (m.Small * 1.75)) - 2);
        var block = new CompactTitleBlock(_canvas, _definition.TitleBlock, _entries, _frame.Width, lines);
        block.Draw(_frame.Left, _frame.Bottom - block.Height);

        double pad = m.Small * 0.7, room = _frame.Width - (pad * 2);
        Flow side = CompactSide();
        int sideLines = Math.Max(1, (int)(_frame.Height * 0.16 / side.Pitch));
        List<List<Flow.PlacedWord>> laid = side.Lay(room, sideLines);
        double sideTop = _frame.Bottom - block.Height - (laid.Count * side.Pitch) - (m.Small * 0.3);
        _canvas.Group("Legend", () => side.Draw(laid, _frame.Left + pad, Math.Round(sideTop + (m.Small * 1.35))));
        return new Box(_frame.Left + (m.Small * 0.4), _frame.Top + (m.Small * 0.2), _frame.Right + (m.Small * 0.6), sideTop);
    }

    private Flow CompactSide()
    {
        double letter = _canvas.Metrics.Small;
        var flow = new Flow(_canvas, letter);
        if (_content.Ramp is { } ramp) new RampPainter(_canvas).AddTo(flow, ramp);
        foreach (LegendItem item in _content.Legend) LegendSample.Add(flow, _canvas, item, letter);
        foreach (SideTable table in _content.Tables)
        {
            foreach (IReadOnlyList<string> row in table.Rows) flow.AddCells(row, table.NeedsNames ? table.Headers : null);
        }

        foreach (string remark in _content.Remarks) flow.Add(null, remark);

        return flow;
    }
}
