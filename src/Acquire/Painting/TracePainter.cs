using Acquire.Columns;
using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Painting;

/// <summary>Paints a trace into a caller's pixels, and only the columns of pixels that have changed since it last did.</summary>
/// <remarks>
/// <para>Columns of the sweep under way are in full ink, those beyond the front pale behind a clear gap; a column kept from sweeps before
/// grows paler with each. Unfilled columns are left out, doubtful ones marked.</para>
/// <para>One painter belongs to one picture: it remembers what it painted there. Where somebody else has painted over it, or two pictures
/// take turns, <see cref="Forget"/> first. Changing pixels, whatever the order of changes, are the same as those of a picture painted from nothing.</para>
/// <para>Not thread-safe; call it on the thread that owns the trace. Allocates when the size of trace or picture, the pixels' format, or the number of columns of the reference changes, never else.</para>
/// </remarks>
public sealed class TracePainter
{
    private readonly ColumnValues _values;
    private readonly StripPainter _painter;
    private double[] _read = [];
    private float[] _shown = [];
    private float[] _lows = [];
    private float[] _highs = [];
    private float[] _reference = [];
    private byte[] _shades = [];
    private long _seenVersion;
    private bool _hasReference;

    /// <summary>Makes a painter.</summary>
    /// <param name="values">Reads the values of the vertical whose trace is painted.</param>
    /// <param name="options">How it is painted.</param>
    /// <exception cref="ArgumentException">An option is out of its range, or the value cannot be had of this vertical; the message says why.</exception>
    public TracePainter(ColumnValues values, TracePainterOptions? options = null)
    {
        ArgumentNullException.ThrowIfNull(values);
        Options = options ?? new TracePainterOptions();
        Options.Validate();
        ValueAvailability availability = values.Check(Options.Choice);
        if (availability != ValueAvailability.Available)
            throw new ArgumentException(ColumnValues.Explain(availability, Options.Choice), nameof(options));
        _values = values;
        _painter = new StripPainter(Options);
    }

    /// <summary>How it is painted.</summary>
    public TracePainterOptions Options { get; }

    /// <summary>Shows a reference trace behind the trace from the next call of <see cref="Paint"/> on.</summary>
    /// <param name="values">One value per column in the unit of <see cref="TracePainterOptions.Choice"/>, NaN where there is none; copied. Empty shows none.</param>
    public void SetReference(ReadOnlySpan<double> values)
    {
        _hasReference = !values.IsEmpty;
        if (_reference.Length != values.Length) _reference = new float[values.Length];
        for (int c = 0; c < values.Length; c++) _reference[c] = FractionOf(values[c]);
    }

    /// <summary>Forgets what was painted: the next call paints every pixel.</summary>
    public void Forget()
    {
        // Versions of another trace say nothing about what was read of the last one.
        _seenVersion = -1;
        _painter.Forget();
    }

    /// <summary>Brings the picture up to date.</summary>
    /// <param name="trace">The trace; the same one each time, or <see cref="Forget"/> is called between.</param>
    /// <param name="pixels">The picture; every pixel of it is this painter's.</param>
    /// <returns>What has changed.</returns>
    /// <exception cref="ArgumentException">The reference has another number of columns than the trace; nothing was painted.</exception>
    public PaintedRange Paint(Trace trace, PixelSurface pixels)
    {
        ArgumentNullException.ThrowIfNull(trace);
        if (_hasReference && _reference.Length != trace.ColumnCount)
            throw new ArgumentException($"The reference has {_reference.Length} columns but the trace has {trace.ColumnCount}; give a reference of the same grid.", nameof(trace));
        if (_shown.Length != trace.ColumnCount) Allocate(trace.ColumnCount);
        ReadChanges(trace);
        int border = FillShades(trace);
        return _painter.Paint(
            new TracePicture
            {
                Values = _shown,
                Lows = Options.ShowBand ? _lows : [],
                Highs = Options.ShowBand ? _highs : [],
                Shades = _shades,
                Marks = Options.ShowMarks ? trace.Marks : [],
                Reference = _hasReference ? _reference : [],
                FrontBorder = border,
                FrontMovesDown = trace.FrontMovesDown,
            },
            pixels);
    }

    private void Allocate(int columns)
    {
        _read = new double[columns];
        _shown = new float[columns];
        _lows = new float[columns];
        _highs = new float[columns];
        _shades = new byte[columns];
        _seenVersion = -1;
    }

    private void ReadChanges(Trace trace)
    {
        if (trace.Version < _seenVersion) _seenVersion = -1;
        int first = 0;
        int end = trace.ColumnCount;
        if (_seenVersion >= 0 && !trace.TryGetChanges(_seenVersion, out first, out end)) return;
        _seenVersion = trace.Version;
        Read(trace, first, end, Options.Choice, _shown);
        if (!Options.ShowBand) return;
        Read(trace, first, end, Options.Choice with { Detector = Detector.Minimum, Domain = null }, _lows);
        Read(trace, first, end, Options.Choice with { Detector = Detector.Peak, Domain = null }, _highs);
    }

    private void Read(Trace trace, int first, int end, ValueChoice choice, float[] fractions)
    {
        Span<double> read = _read.AsSpan(first, end - first);
        _values.Read(trace.Columns, first, choice, read);
        for (int c = first; c < end; c++) fractions[c] = FractionOf(_read[c]);
    }

    private float FractionOf(double value) => (float)((value - Options.Bottom) / (Options.Top - Options.Bottom));

    // Columns that the beam has passed are fresh, unless they were kept; all others are as old as their sweep. The front's own column may
    // still hold what the sweep before put there.
    private int FillShades(Trace trace)
    {
        ReadOnlySpan<long> sweeps = trace.SweepNumbers;
        ReadOnlySpan<ColumnMarks> marks = trace.Marks;
        long newest = trace.SweepNumber;
        if (newest < 0)
            foreach (long sweep in sweeps) newest = Math.Max(newest, sweep);
        int border = BorderOf(trace, newest);
        for (int c = 0; c < sweeps.Length; c++)
        {
            bool passed = border < 0 || (trace.FrontMovesDown ? c >= border : c < border);
            bool fresh = passed && (marks[c] & ColumnMarks.Kept) == ColumnMarks.None;
            _shades[c] = fresh ? (byte)0 : (byte)Math.Clamp(newest - sweeps[c], 1, SheetColours.ShadeCount - 1);
        }

        return border;
    }

    private int BorderOf(Trace trace, long newest)
    {
        int front = trace.Front;
        if (!Options.ShowFront || (front < 0 && trace.SweepNumber < 0)) return -1;
        if (front < 0) return trace.FrontMovesDown ? trace.ColumnCount : 0;
        bool reached = trace.SweepNumbers[front] == newest;
        return front + (reached == trace.FrontMovesDown ? 0 : 1);
    }
}
