using Acquire.Columns;

namespace Acquire.Painting;

/// <summary>Works out what a trace shows in each column of pixels. A function of its input alone.</summary>
/// <remarks>
/// Neighbouring filled columns are joined from centre to centre; next to an unfilled column, and at the front, a column reaches to the
/// border of its cell. So no reading is narrower than a pixel and nothing is drawn where nothing was measured.
/// </remarks>
internal readonly ref struct StripBuilder
{
    private readonly Span<TraceStrip> _strips;
    private readonly int _columns;
    private readonly int _height;
    private readonly int _halfLine;
    private readonly ColumnRange _range;

    /// <param name="strips">One for each column of pixels.</param>
    /// <param name="columns">Columns of the trace.</param>
    /// <param name="height">Rows of pixels.</param>
    /// <param name="lineSixteenths">Thickness of the line in sixteenths of a pixel.</param>
    /// <param name="range">The columns of pixels that are wanted; the others keep what they have.</param>
    public StripBuilder(Span<TraceStrip> strips, int columns, int height, int lineSixteenths, ColumnRange range)
    {
        _strips = strips;
        _columns = columns;
        _height = height;
        _halfLine = lineSixteenths / 2;
        _range = range;
    }

    private enum Part
    {
        Line,
        Reference,
    }

    // 64 bits here and below: 65,536 columns times the width of a large picture.

    /// <summary>Columns of pixels that may show another picture when columns of the trace change.</summary>
    public static ColumnRange ReachOf(ColumnRange changed, int columns, int width)
    {
        // A column reaches to the centres of its neighbours, and whether it is joined to them changes how far they reach. A pixel to spare on both sides.
        long first = ((changed.First - 1L) * width / columns) - 1;
        long end = ((changed.End + 1L) * width / columns) + 2;
        return new ColumnRange((int)Math.Max(0, first), (int)Math.Min(width, end));
    }

    /// <summary>Columns of pixels that stay clear at the front.</summary>
    public static ColumnRange GapOf(int frontBorder, bool frontMovesDown, int gapPixels, int columns, int width)
    {
        if (frontBorder < 0) return ColumnRange.Empty;
        double border = HalfCells(2 * frontBorder, columns, width);
        return frontMovesDown ? new ColumnRange(Math.Max(0, (int)border - gapPixels), (int)border)
            : new ColumnRange((int)Math.Ceiling(border), Math.Min(width, (int)Math.Ceiling(border) + gapPixels));
    }

    public void Build(in TracePicture picture, int gapPixels)
    {
        _strips[_range.First.._range.End].Fill(TraceStrip.Empty);
        AddLine(picture.Reference, [], frontBorder: -1, Part.Reference);
        AddBand(picture);
        AddMarks(picture.Marks);
        AddLine(picture.Values, picture.Shades, picture.FrontBorder, Part.Line);
        ColumnRange gap = GapOf(picture.FrontBorder, picture.FrontMovesDown, gapPixels, _columns, _strips.Length);
        for (int x = Math.Max(gap.First, _range.First); x < Math.Min(gap.End, _range.End); x++)
            _strips[x] = TraceStrip.Empty with { Reference = _strips[x].Reference };
    }

    private void AddLine(ReadOnlySpan<float> values, ReadOnlySpan<byte> shades, int frontBorder, Part part)
    {
        ColumnRange columns = ColumnsWithin(values.Length);

        // What the first column would be joined to does not matter: it is one of those to spare and reaches no wanted pixel on that side.
        bool joined = false;
        for (int c = columns.First; c < columns.End; c++)
        {
            if (float.IsNaN(values[c]))
            {
                joined = false;
                continue;
            }

            byte shade = shades.IsEmpty ? (byte)0 : shades[c];
            double y = RowOf(values[c]);
            double centre = HalfCells((2 * c) + 1);
            if (!joined) AddSegment(HalfCells(2 * c), y, centre, y, shade, part);
            joined = c + 1 < values.Length && !float.IsNaN(values[c + 1]) && c + 1 != frontBorder;
            if (joined) AddSegment(centre, y, HalfCells((2 * c) + 3), RowOf(values[c + 1]), Math.Max(shade, shades.IsEmpty ? (byte)0 : shades[c + 1]), part);
            else AddSegment(centre, y, HalfCells((2 * c) + 2), y, shade, part);
        }
    }

    private void AddSegment(double x1, double y1, double x2, double y2, byte shade, Part part)
    {
        // A segment that ends on the border of a pixel does not belong to the next one, unless it is a point.
        int first = Math.Clamp((int)x1, 0, _strips.Length - 1);
        int last = Math.Clamp((int)Math.Ceiling(x2) - 1, first, _strips.Length - 1);
        double slope = x2 > x1 ? (y2 - y1) / (x2 - x1) : 0;
        for (int x = Math.Max(first, _range.First); x <= Math.Min(last, _range.End - 1); x++)
        {
            double left = x <= x1 ? y1 : y1 + ((x - x1) * slope);
            double right = x + 1 >= x2 ? y2 : y1 + ((x + 1 - x1) * slope);
            var rows = new RowSpan((int)Math.Round(Math.Min(left, right)) - _halfLine, (int)Math.Round(Math.Max(left, right)) + _halfLine);
            ref TraceStrip strip = ref _strips[x];
            strip = part == Part.Reference ? strip with { Reference = strip.Reference.With(rows) }
                : shade == 0 ? strip with { Fresh = strip.Fresh.With(rows) }
                : strip with { Stale = strip.Stale.With(rows), StaleShade = Math.Max(strip.StaleShade, shade) };
        }
    }

    private void AddBand(in TracePicture picture)
    {
        ColumnRange columns = ColumnsWithin(picture.Highs.Length);
        for (int c = columns.First; c < columns.End; c++)
        {
            if (float.IsNaN(picture.Highs[c])) continue;

            // Whichever way up: the highest reading on the instrument's screen lies lower here where bottom and top are given the other way round.
            double high = RowOf(picture.Highs[c]), low = RowOf(picture.Lows[c]);
            var rows = new RowSpan((int)Math.Round(Math.Min(high, low)) - _halfLine, (int)Math.Round(Math.Max(high, low)) + _halfLine);
            ColumnRange cell = CellOf(c);
            for (int x = cell.First; x < cell.End; x++) _strips[x] = _strips[x] with { Band = _strips[x].Band.With(rows) };
        }
    }

    private void AddMarks(ReadOnlySpan<ColumnMarks> marks)
    {
        ColumnRange columns = ColumnsWithin(marks.Length);
        for (int c = columns.First; c < columns.End; c++)
        {
            ColumnMarks shown = marks[c] & MarkPattern.Shown;
            if (shown == ColumnMarks.None) continue;
            ColumnRange cell = CellOf(c);
            for (int x = cell.First; x < cell.End; x++) _strips[x] = _strips[x] with { Marks = _strips[x].Marks | shown };
        }
    }

    // The wanted columns of pixels on which a column's cell lies.
    private ColumnRange CellOf(int column)
    {
        int first = (int)((long)column * _strips.Length / _columns);
        int last = Math.Max(first, (int)((((long)(column + 1) * _strips.Length) - 1) / _columns));
        return new ColumnRange(Math.Max(first, _range.First), Math.Min(last + 1, _range.End));
    }

    // Columns of the trace that may reach a wanted column of pixels, and some to spare.
    private ColumnRange ColumnsWithin(int count)
    {
        long first = ((long)_range.First * _columns / _strips.Length) - 3;
        long end = ((long)_range.End * _columns / _strips.Length) + 3;
        return new ColumnRange((int)Math.Max(0, first), (int)Math.Min(count, end));
    }

    // Place of a border (even) or a centre (odd) in pixels. A product of whole numbers divided once is exact where it falls on a pixel's
    // border, so nothing spills over one.
    private static double HalfCells(int halves, int columns, int width) => (double)((long)halves * width) / (2 * columns);

    private double HalfCells(int halves) => HalfCells(halves, _columns, _strips.Length);

    // Sixteenths of a pixel; 0 and 1 lie in the middle of the lowest and the highest row. What leaves the picture leaves it by a few
    // pixels at most, so that whole numbers suffice.
    private double RowOf(float fraction) => ((1 - Math.Clamp(fraction, -1.0, 2.0)) * (_height - 1) * 16) + 8;
}
