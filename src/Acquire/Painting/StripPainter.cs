using Acquire.Columns;

namespace Acquire.Painting;

/// <summary>Paints strips, and only those that differ from what it painted before.</summary>
internal sealed class StripPainter
{
    // The reference is dashed: six columns of pixels with it, four without.
    private const int DashPeriod = 10;
    private const int DashLength = 6;

    private readonly TracePainterOptions _options;
    private readonly int _lineSixteenths;
    private readonly SeenPicture _seen = new();
    private TraceStrip[] _wanted = [];
    private TraceStrip[] _painted = [];
    private bool[] _gridRows = [];
    private int[] _gridRowNumbers = [];
    private bool[] _gridColumns = [];
    private PixelFormat _format;
    private bool _knowsPicture;

    public StripPainter(TracePainterOptions options)
    {
        _options = options;
        _lineSixteenths = (int)Math.Round(options.LinePixels * 16);
    }

    public void Forget() => _knowsPicture = false;

    public PaintedRange Paint(in TracePicture picture, PixelSurface pixels)
    {
        if (_gridColumns.Length != pixels.Width || _gridRows.Length != pixels.Height || _format != pixels.Format) Prepare(pixels);
        ColumnRange changed = _seen.Take(picture, pixels.Width, _options.GapPixels);
        if (!_knowsPicture)
        {
            changed = new ColumnRange(0, pixels.Width);
            PaintGround(pixels);
        }

        if (changed.IsEmpty) return default;
        new StripBuilder(_wanted, picture.Values.Length, pixels.Height, _lineSixteenths, changed).Build(picture, _options.GapPixels);
        int first = pixels.Width;
        int end = 0;
        int count = 0;
        for (int x = changed.First; x < changed.End; x++)
        {
            if (_knowsPicture && _wanted[x] == _painted[x]) continue;
            PaintColumn(x, pixels);
            _painted[x] = _wanted[x];
            first = Math.Min(first, x);
            end = x + 1;
            count++;
        }

        _knowsPicture = true;
        return count == 0 ? default : new PaintedRange(first, end, count);
    }

    // The sheet without anything on it, row by row, so that columns have to paint only what lies on it.
    private void PaintGround(PixelSurface pixels)
    {
        uint paper = pixels.Encoded(_options.Colours.Paper);
        uint grid = pixels.Encoded(_options.Colours.Grid);
        for (int y = 0; y < pixels.Height; y++) pixels.FillRow(y, _gridRows[y] ? grid : paper);
        for (int x = 0; x < pixels.Width; x++)
            if (_gridColumns[x]) pixels.FillColumn(x, 0, pixels.Height, grid);
    }

    // A row that every part covers as a whole or not at all shows the colour of the last part that does. Only the rows at the parts' ends
    // are mixed, by the rule for any row.
    private void PaintColumn(int x, PixelSurface pixels)
    {
        TraceStrip strip = _wanted[x];
        SheetColours colours = _options.Colours;
        bool dash = x % DashPeriod < DashLength;
        if (_knowsPicture)
        {
            bool marked = (strip.Marks | _painted[x].Marks) != ColumnMarks.None;
            PaintGround(x, marked ? new RowSpan(0, pixels.Height * 16) : strip.Extent.With(_painted[x].Extent), pixels);
        }

        FillWhole(x, strip.Band, colours.Wash, pixels);
        MarkPattern.Paint(strip.Marks, x, pixels, pixels.Encoded(colours.Mark));
        if (dash) FillWhole(x, strip.Reference, colours.Reference, pixels);
        FillWhole(x, strip.Stale, colours.Inks[strip.StaleShade], pixels);
        FillWhole(x, strip.Fresh, colours.Ink, pixels);
        MixEnds(x, strip, strip.Band, pixels);
        if (dash) MixEnds(x, strip, strip.Reference, pixels);
        MixEnds(x, strip, strip.Stale, pixels);
        MixEnds(x, strip, strip.Fresh, pixels);
    }

    // Rows of pixels that the sixteenths touch, cut to the picture.
    private void PaintGround(int x, RowSpan rows, PixelSurface pixels)
    {
        int first = Math.Max(0, rows.Top >> 4);
        int end = Math.Min(pixels.Height, (rows.Bottom + 15) >> 4);
        uint grid = pixels.Encoded(_options.Colours.Grid);
        pixels.FillColumn(x, first, end, _gridColumns[x] ? grid : pixels.Encoded(_options.Colours.Paper));
        foreach (int y in _gridRowNumbers)
            if (y >= first && y < end) pixels.FillColumn(x, y, y + 1, grid);
    }

    private static void FillWhole(int x, RowSpan rows, Colour colour, PixelSurface pixels)
    {
        int first = Math.Max(0, (rows.Top + 15) >> 4);
        int end = Math.Min(pixels.Height, rows.Bottom >> 4);
        if (first < end) pixels.FillColumn(x, first, end, pixels.Encoded(colour));
    }

    private void MixEnds(int x, TraceStrip strip, RowSpan rows, PixelSurface pixels)
    {
        if (rows.IsEmpty) return;
        int top = rows.Top >> 4;
        int bottom = (rows.Bottom - 1) >> 4;
        if ((rows.Top & 15) != 0 || top == bottom) Mix(x, top, strip, pixels);
        if ((rows.Bottom & 15) != 0 && bottom != top) Mix(x, bottom, strip, pixels);
    }

    private void Mix(int x, int y, TraceStrip strip, PixelSurface pixels)
    {
        if ((uint)y >= (uint)pixels.Height) return;
        SheetColours colours = _options.Colours;
        Colour colour = _gridColumns[x] || _gridRows[y] ? colours.Grid : colours.Paper;
        colour = colour.CoveredBy(colours.Wash, strip.Band.CoverageOf(y));
        if (MarkPattern.Covers(strip.Marks, x, y, pixels.Height)) colour = colours.Mark;
        if (x % DashPeriod < DashLength) colour = colour.CoveredBy(colours.Reference, strip.Reference.CoverageOf(y));
        colour = colour.CoveredBy(colours.Inks[strip.StaleShade], strip.Stale.CoverageOf(y));
        pixels.Set(x, y, colour.CoveredBy(colours.Ink, strip.Fresh.CoverageOf(y)));
    }

    private void Prepare(PixelSurface pixels)
    {
        _format = pixels.Format;
        _wanted = new TraceStrip[pixels.Width];
        _painted = new TraceStrip[pixels.Width];
        _gridColumns = new bool[pixels.Width];
        _gridRows = new bool[pixels.Height];
        foreach (double place in _options.GridColumns) _gridColumns[Math.Min(pixels.Width - 1, (int)(place * pixels.Width))] = true;
        foreach (double place in _options.GridRows) _gridRows[pixels.Height - 1 - (int)Math.Round(place * (pixels.Height - 1))] = true;
        _gridRowNumbers = [.. Enumerable.Range(0, pixels.Height).Where(y => _gridRows[y])];
        _knowsPicture = false;
    }
}
