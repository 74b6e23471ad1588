using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Painting;

/// <summary>Paints sweeps as rows whose colours stand for values: a waterfall.</summary>
/// <remarks>
/// <para>The newest sweep is at the top. Where several columns share a pixel the highest is shown, so that no peak is lost; where a column
/// is wider than a pixel it is shown as wide as it is. An unfilled column is stippled paper, never the lowest colour.</para>
/// <para>Where a section starts, <see cref="Paint"/> sets a tick of ink and paper in turn at both edges, in the lowest row of pixels of the section's
/// first sweep: above it the axis or the settings are others than below. Between the ticks the row shows its values.</para>
/// <para><see cref="Paint"/> remembers what it painted, so for it one painter belongs to one picture; the other methods remember nothing.
/// Not thread-safe. No method allocates.</para>
/// </remarks>
public sealed class HistoryPainter
{
    private const int StipplePeriod = 4;

    // A tick's length is a share of the picture's width; ink and paper take turns, so that it is seen on every colour of a ramp.
    private const int TickShare = 40;
    private const int LeastTick = 4;
    private const int TickDash = 2;

    private SweepInfo _seenNewest;
    private long _seenTaken;
    private int _seenWidth;
    private int _seenHeight;
    private bool _knowsPicture;

    /// <summary>Makes a painter.</summary>
    /// <param name="bottom">Value that gets the ramp's first colour; finite.</param>
    /// <param name="top">Value that gets its last; finite and not <paramref name="bottom"/>, may be lower.</param>
    /// <param name="ramp">Colours of values.</param>
    /// <param name="colours">Colours of the sheet, for what was not measured.</param>
    /// <param name="rowPixels">Rows of pixels for one sweep, at least 1.</param>
    /// <exception cref="ArgumentException">Bottom and top are not finite or do not differ, or a sweep would have no row of pixels.</exception>
    public HistoryPainter(double bottom, double top, ColourRamp ramp, SheetColours colours, int rowPixels = 1)
    {
        ArgumentNullException.ThrowIfNull(ramp);
        ArgumentNullException.ThrowIfNull(colours);
        if (!double.IsFinite(bottom) || !double.IsFinite(top) || bottom == top)
            throw new ArgumentException($"The colours go from {bottom} to {top}; both must be finite and differ. Give the values of the first and the last colour.");
        ArgumentOutOfRangeException.ThrowIfLessThan(rowPixels, 1);
        RowPixels = rowPixels;
        Bottom = bottom;
        Top = top;
        Ramp = ramp;
        Colours = colours;
    }

    /// <summary>Value that gets the ramp's first colour.</summary>
    public double Bottom { get; }

    /// <summary>Value that gets the ramp's last colour.</summary>
    public double Top { get; }

    /// <summary>Colours of values.</summary>
    public ColourRamp Ramp { get; }

    /// <summary>Colours of the sheet.</summary>
    public SheetColours Colours { get; }

    /// <summary>Rows of pixels for one sweep.</summary>
    public int RowPixels { get; }

    /// <summary>Forgets what was painted: the next <see cref="Paint"/> paints every pixel.</summary>
    public void Forget() => _knowsPicture = false;

    /// <summary>Brings the picture of a history up to date: what it shows moves down, new sweeps come in at the top.</summary>
    /// <param name="history">The history; a cleared one is noticed.</param>
    /// <param name="pixels">The picture; every pixel of it is this painter's.</param>
    /// <returns>Sweeps that were painted, places for sweeps to come included; the rest of the picture has only moved. 0: nothing has changed.</returns>
    public int Paint(SweepHistory history, PixelSurface pixels)
    {
        ArgumentNullException.ThrowIfNull(history);
        int visible = (pixels.Height + RowPixels - 1) / RowPixels;
        long taken = history.Taken - _seenTaken;
        bool goesOn = _knowsPicture && pixels.Width == _seenWidth && pixels.Height == _seenHeight
            && taken >= 0 && taken < visible && GoesOn(history, taken);
        int painted = goesOn ? (int)taken : visible;
        if (goesOn && painted == 0) return 0;
        if (goesOn) pixels.MoveDown(painted * RowPixels);
        for (int back = 0; back < painted; back++) PaintSweep(history, back, pixels);

        // What a shallow history has dropped leaves the picture, too.
        for (int back = history.Count; goesOn && back < Math.Min(visible, history.Count + painted); back++) PaintSweep(history, back, pixels);
        _knowsPicture = true;
        _seenWidth = pixels.Width;
        _seenHeight = pixels.Height;
        _seenTaken = history.Taken;
        _seenNewest = history.Count > 0 ? history.Newest(0).Info : default;
        return painted;
    }

    /// <summary>Paints one sweep into one row of pixels.</summary>
    /// <param name="values">Value of each column, column 0 first; NaN where unfilled.</param>
    /// <param name="pixels">The picture.</param>
    /// <param name="row">Row of pixels, 0 at the top.</param>
    /// <exception cref="ArgumentException">There are no columns or no such row.</exception>
    public void PaintRow(ReadOnlySpan<double> values, PixelSurface pixels, int row)
    {
        if (values.IsEmpty) throw new ArgumentException("There are no values; give one for each column.", nameof(values));
        ArgumentOutOfRangeException.ThrowIfNegative(row);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(row, pixels.Height);
        for (int x = 0; x < pixels.Width; x++) pixels.Set(x, row, ColourOf(HighestIn(values, x, pixels.Width), x));
    }

    /// <summary>Moves the picture down by one row and paints a new sweep at the top.</summary>
    /// <param name="values">Value of each column, column 0 first; NaN where unfilled.</param>
    /// <param name="pixels">The picture; its lowest row leaves it.</param>
    /// <exception cref="ArgumentException">There are no columns; nothing was painted.</exception>
    public void AddRow(ReadOnlySpan<double> values, PixelSurface pixels)
    {
        if (values.IsEmpty) throw new ArgumentException("There are no values; give one for each column.", nameof(values));
        pixels.MoveDown(1);
        PaintRow(values, pixels, 0);
    }

    /// <summary>Paints rows of which nothing is known yet.</summary>
    /// <param name="pixels">The picture.</param>
    public void Clear(PixelSurface pixels)
    {
        for (int y = 0; y < pixels.Height; y++)
            for (int x = 0; x < pixels.Width; x++) pixels.Set(x, y, ColourOf(double.NaN, x));
    }

    // A history that was cleared counts anew; the sweep that was newest is then no longer where it should be.
    private bool GoesOn(SweepHistory history, long taken) =>
        _seenTaken == 0 || (taken < history.Count && history.Newest((int)taken).Info == _seenNewest) || taken >= history.Depth;

    private void PaintSweep(SweepHistory history, int back, PixelSurface pixels)
    {
        int top = back * RowPixels;
        PixelSurface rows = pixels.Slice(0, top, pixels.Width, Math.Min(RowPixels, pixels.Height - top));
        if (back >= history.Count)
        {
            Clear(rows);
            return;
        }

        HistoryRow sweep = history.Newest(back);
        for (int row = 0; row < rows.Height; row++) PaintRow(sweep.Values, rows, row);

        // The first section has nothing below it that it differs from.
        if (sweep.StartsSection && sweep.Section > 0 && rows.Height == RowPixels) PaintTicks(rows, rows.Height - 1);
    }

    private void PaintTicks(PixelSurface pixels, int row)
    {
        int length = Math.Min(Math.Max(LeastTick, pixels.Width / TickShare), pixels.Width);
        for (int i = 0; i < length; i++)
        {
            Colour colour = i % (2 * TickDash) < TickDash ? Colours.Ink : Colours.Paper;
            pixels.Set(i, row, colour);
            pixels.Set(pixels.Width - 1 - i, row, colour);
        }
    }

    private Colour ColourOf(double value, int x)
    {
        // Stippled by columns of pixels, so that a row looks the same wherever it has moved to.
        if (double.IsNaN(value)) return x % StipplePeriod == 0 ? Colours.Grid : Colours.Paper;
        return Ramp.At((value - Bottom) / (Top - Bottom));
    }

    private double HighestIn(ReadOnlySpan<double> values, int x, int width)
    {
        // 64 bits: 65,536 columns times the width of a large picture.
        if (values.Length < width) return values[(int)(((2L * x) + 1) * values.Length / (2L * width))];
        int first = (int)((long)x * values.Length / width);
        int end = (int)((long)(x + 1) * values.Length / width);
        double highest = double.NaN;
        bool topIsHigh = Top > Bottom;
        for (int c = first; c < end; c++)
            if (double.IsNaN(highest) || (topIsHigh ? values[c] > highest : values[c] < highest)) highest = values[c];
        return highest;
    }
}
