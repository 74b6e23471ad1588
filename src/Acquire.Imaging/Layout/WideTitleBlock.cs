using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Layout;

/// <summary>The title block of a sheet with room: a cell for every setting, below them the fields of a technical drawing.</summary>
internal sealed class WideTitleBlock
{
    // Tails of one line and accents of the next just clear each other.
    private const double TitlePitch = 1.8;

    private readonly Canvas _canvas;
    private readonly TitleBlock _block;
    private readonly List<Cell> _cells = [];
    private readonly List<Cell> _fields;
    private readonly double _width, _rowHeight, _pad;
    private readonly int _cellRows, _fieldRows;

    public WideTitleBlock(Canvas canvas, TitleBlock block, IReadOnlyList<SheetEntry> entries, double width)
    {
        _canvas = canvas;
        _block = block;
        _width = width;
        _rowHeight = Math.Ceiling(canvas.Metrics.Normal * 3.45);
        _pad = canvas.Metrics.Normal * 0.7;
        _cellRows = PlanCells(entries);
        _fields = PlanFields();
        _fieldRows = _fields.Max(f => f.Row) + 1;
    }

    public double Height => _rowHeight * (_cellRows + _fieldRows);

    public void Draw(double left, double top)
    {
        SheetMetrics m = _canvas.Metrics;
        var outer = Box.At(left, top, _width, Height);
        double split = top + (_rowHeight * _cellRows);
        _canvas.Group("Title block", () =>
        {
            _canvas.Fill(ScenePath.Rectangle(outer), _canvas.Style.Paper);
            foreach (Cell cell in _cells) DrawCell(cell, left, top);
            foreach (Cell field in _fields) DrawCell(field, left, split);
            DrawTitle(new Box(left, split, left + TitleWidth, outer.Bottom));
            _canvas.Rule(left, split, outer.Right, split, _canvas.Style.Rule, m.Thick);
            _canvas.Frame(outer, _canvas.Style.Rule, m.Thick);
        });
    }

    private double TitleWidth => Math.Round(_width * 0.56);

    // Greedy rows: a value that is wider than a cell takes two or more; what is left of a row goes to its last cell.
    private int PlanCells(IReadOnlyList<SheetEntry> entries)
    {
        SheetMetrics m = _canvas.Metrics;
        int columns = Math.Max(2, (int)(_width / (m.Normal * 14.5)));
        double unit = _width / columns;
        int row = 0, column = 0;
        foreach (SheetEntry entry in entries)
        {
            string value = entry.Value ?? Quantity.NotStated;
            int span = Math.Clamp((int)Math.Ceiling(Needed(entry) / unit), 1, columns);
            if (column + span > columns)
            {
                Stretch();
                (row, column) = (row + 1, 0);
            }

            _cells.Add(new Cell(entry.Name, value, entry.Value is null, Math.Round(column * unit), Math.Round((column + span) * unit), row));
            column += span;
        }

        Stretch();
        return row + 1;

        void Stretch()
        {
            if (_cells.Count > 0) _cells[^1] = _cells[^1] with { Right = _width };
        }
    }

    private List<Cell> PlanFields()
    {
        List<SheetEntry> entries = [new("Identification", _block.Identification), new("Sheet", BlockEntries.Sheet(_block)), new("Date", BlockEntries.Date(_block))];
        if (_block.Creator is not null) entries.Add(new("Creator", _block.Creator));
        if (_block.LegalOwner is not null) entries.Add(new("Legal owner", _block.LegalOwner));
        double left = TitleWidth, middle = Math.Round(left + ((_width - left) * 0.6));
        var fields = new List<Cell>();
        int row = 0;
        for (int i = 0; i < entries.Count; row++)
        {
            // Two stand side by side where both fit, otherwise each has a row.
            bool isPair = i + 1 < entries.Count && Needed(entries[i]) <= middle - left && Needed(entries[i + 1]) <= _width - middle;
            fields.Add(Field(entries[i++], left, isPair ? middle : _width, row));
            if (isPair) fields.Add(Field(entries[i++], middle, _width, row));
        }

        return fields;

        static Cell Field(SheetEntry entry, double from, double to, int row) => new(entry.Name, entry.Value ?? Quantity.NotStated, entry.Value is null, from, to, row);
    }

    private double Needed(SheetEntry entry) =>
        Math.Max(Letterer.Measure(entry.Name, _canvas.Metrics.Small), Letterer.Measure(entry.Value ?? Quantity.NotStated, _canvas.Metrics.Normal)) + (_pad * 2);

    private void DrawCell(Cell cell, double left, double top)
    {
        SheetMetrics m = _canvas.Metrics;
        SheetStyle style = _canvas.Style;
        double cellTop = top + (cell.Row * _rowHeight), cellLeft = left + cell.Left, room = cell.Right - cell.Left - (_pad * 2);
        double nameBaseline = cellTop + (m.Normal * 0.15) + (m.Small * 1.4), valueBaseline = cellTop + _rowHeight - (m.Normal * 0.6);
        _canvas.Text(Letterer.Shorten(cell.Name, m.Small, room), cellLeft + _pad, nameBaseline, m.Small, style.SoftInk);
        // What is too long for its cell is written smaller before it is shortened.
        double letter = Letterer.Measure(cell.Value, m.Normal) <= room ? m.Normal : m.Small;
        _canvas.Text(Letterer.Shorten(cell.Value, letter, room), cellLeft + _pad, valueBaseline, letter, cell.IsMissing ? style.SoftInk : style.Ink);
        _canvas.Rule(left + cell.Right, cellTop, left + cell.Right, cellTop + _rowHeight, style.Rule, m.Thin);
        _canvas.Rule(cellLeft, cellTop + _rowHeight, left + cell.Right, cellTop + _rowHeight, style.Rule, m.Thin);
    }

    private void DrawTitle(Box box)
    {
        SheetMetrics m = _canvas.Metrics;
        SheetStyle style = _canvas.Style;
        double room = box.Width - (_pad * 2), nameBaseline = box.Top + (m.Normal * 0.15) + (m.Small * 1.4);
        _canvas.Text("Title", box.Left + _pad, nameBaseline, m.Small, style.SoftInk);
        double foot = box.Bottom - (m.Normal * 0.6);
        if (_block.Supplement is { } supplement)
        {
            double size = Letterer.Measure(supplement, m.Normal) <= room ? m.Normal : m.Small;
            _canvas.Text(Letterer.Shorten(supplement, size, room), box.Left + _pad, foot, size, style.Ink);
            foot -= m.Normal * 1.8;
        }

        (List<string> lines, double letter) = FitTitle(room, foot - nameBaseline);
        double pitch = letter * TitlePitch, block = ((lines.Count - 1) * pitch) + letter;
        double baseline = nameBaseline + ((foot - nameBaseline - block) * 0.6) + letter;
        foreach (string line in lines)
        {
            _canvas.Text(line, box.Left + _pad, baseline, letter, style.Ink);
            baseline += pitch;
        }
    }

    // The largest letters in which the whole title fits; only in the smallest it is shortened.
    private (List<string> Lines, double Letter) FitTitle(double room, double height)
    {
        SheetMetrics m = _canvas.Metrics;
        foreach (double letter in (double[])[m.Large, (m.Large + m.Normal) / 2, m.Normal])
        {
            int lineCount = 1 + Math.Max(0, (int)((height - (letter * 1.7)) / (letter * TitlePitch)));
            List<string> lines = Letterer.Wrap(_block.Title, letter, room, lineCount);
            if (letter <= m.Normal || lines.Count == 0 || !lines[^1].EndsWith('…')) return (lines, letter);
        }

        return ([], m.Normal);
    }

    private sealed record Cell(string Name, string Value, bool IsMissing, double Left, double Right, int Row);
}
