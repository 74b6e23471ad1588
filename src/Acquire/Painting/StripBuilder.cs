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

    /// <param name="strips">One for each column of pixels.</param>
    /// <param name="columns">Columns of the trace.</param>
    /// <param name="height">Rows of pixels.</param>
    /// <param name="lineSixteenths">Thickness of the line in sixteenths of a pixel.</param>
    public StripBuilder(Span<TraceStrip> strips, int columns, int height, int lineSixteenths)
    {
        _strips = strips;
        _columns = columns;
        _height = height;
        _halfLine = lineSixteenths / 2;
    }

    private enum Part
    {
        Line,
        Reference,
    }

    public void Build(in TracePicture picture, int gapPixels)
    {
        BuildReference(picture.Reference);
        AddTrace(picture, gapPixels);
    }

    /// <summary>The reference alone: it changes so rarely that a painter may keep it.</summary>
    public void BuildReference(ReadOnlySpan<float> reference)
    {
        _strips.Fill(TraceStrip.Empty);
        AddLine(reference, [], frontBorder: -1, Part.Reference);
    }

    /// <summary>Adds all the rest to strips that show the reference alone.</summary>
    public void AddTrace(in TracePicture picture, int gapPixels)
    {
        AddBand(picture);
        AddLine(picture.Values, picture.Shades, picture.FrontBorder, Part.Line);
        ClearGap(picture.FrontBorder, picture.FrontMovesDown, gapPixels);
    }

    private void AddLine(ReadOnlySpan<float> values, ReadOnlySpan<byte> shades, int frontBorder, Part part)
    {
        bool joined = false;
        for (int c = 0; c < values.Length; c++)
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
        for (int x = first; x <= last; x++)
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
        for (int c = 0; c < picture.Highs.Length; c++)
        {
            if (float.IsNaN(picture.Highs[c])) continue;
            var rows = new RowSpan((int)Math.Round(RowOf(picture.Highs[c])) - _halfLine, (int)Math.Round(RowOf(picture.Lows[c])) + _halfLine);

            // 64 bits: 65,536 columns times the width of a large picture.
            int first = (int)((long)c * _strips.Length / _columns);
            int last = Math.Max(first, (int)((((long)(c + 1) * _strips.Length) - 1) / _columns));
            for (int x = first; x <= last; x++) _strips[x] = _strips[x] with { Band = _strips[x].Band.With(rows) };
        }
    }

    private void ClearGap(int frontBorder, bool frontMovesDown, int gapPixels)
    {
        if (frontBorder < 0) return;
        double border = HalfCells(2 * frontBorder);
        int from = frontMovesDown ? Math.Max(0, (int)border - gapPixels) : (int)Math.Ceiling(border);
        int end = frontMovesDown ? (int)border : Math.Min(_strips.Length, (int)Math.Ceiling(border) + gapPixels);
        for (int x = from; x < end; x++) _strips[x] = TraceStrip.Empty with { Reference = _strips[x].Reference };
    }

    // Place of a border (even) or a centre (odd) in pixels. A product of whole numbers divided once is exact where it falls on a pixel's
    // border, so nothing spills over one.
    private double HalfCells(int halves) => (double)((long)halves * _strips.Length) / (2 * _columns);

    // Sixteenths of a pixel; 0 and 1 lie in the middle of the lowest and the highest row. What leaves the picture leaves it by a few
    // pixels at most, so that whole numbers suffice.
    private double RowOf(float fraction) => ((1 - Math.Clamp(fraction, -1.0, 2.0)) * (_height - 1) * 16) + 8;
}
