namespace Acquire.Painting;

/// <summary>Paints strips, and only those that differ from what it painted before.</summary>
internal sealed class StripPainter
{
    // The reference is dashed: six columns of pixels with it, four without.
    private const int DashPeriod = 10;
    private const int DashLength = 6;

    private readonly TracePainterOptions _options;
    private readonly int _lineSixteenths;
    private TraceStrip[] _wanted = [];
    private TraceStrip[] _painted = [];
    private bool[] _gridRows = [];
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
        new StripBuilder(_wanted, picture.Values.Length, pixels.Height, _lineSixteenths).Build(picture, _options.GapPixels);

        int first = pixels.Width;
        int end = 0;
        int count = 0;
        for (int x = 0; x < _wanted.Length; x++)
        {
            if (_knowsPicture && _wanted[x] == _painted[x]) continue;
            RowSpan rows = _knowsPicture ? _wanted[x].Extent.With(_painted[x].Extent) : new RowSpan(0, pixels.Height * 16);
            PaintColumn(x, rows, pixels);
            _painted[x] = _wanted[x];
            first = Math.Min(first, x);
            end = x + 1;
            count++;
        }

        _knowsPicture = true;
        return count == 0 ? default : new PaintedRange(first, end, count);
    }

    private void PaintColumn(int x, RowSpan rows, PixelSurface pixels)
    {
        TraceStrip strip = _wanted[x];
        SheetColours colours = _options.Colours;
        Colour stale = colours.Inks[strip.StaleShade];
        bool dash = x % DashPeriod < DashLength;

        // Rows of pixels that the sixteenths touch, cut to the picture.
        int first = Math.Max(0, rows.Top >> 4);
        int end = Math.Min(pixels.Height, (rows.Bottom + 15) >> 4);
        for (int y = first; y < end; y++)
        {
            Colour colour = _gridColumns[x] || _gridRows[y] ? colours.Grid : colours.Paper;
            colour = colour.CoveredBy(colours.Wash, strip.Band.CoverageOf(y));
            if (dash) colour = colour.CoveredBy(colours.Reference, strip.Reference.CoverageOf(y));
            colour = colour.CoveredBy(stale, strip.Stale.CoverageOf(y));
            pixels.Set(x, y, colour.CoveredBy(colours.Ink, strip.Fresh.CoverageOf(y)));
        }
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
        _knowsPicture = false;
    }
}
