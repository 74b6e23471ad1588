using Acquire.Traces;

namespace Acquire.Painting;

/// <summary>How a trace is painted.</summary>
public sealed record TracePainterOptions
{
    /// <summary>Value of a column that is shown; default the peak in codes.</summary>
    public ValueChoice Choice { get; init; } = new(Columns.Detector.Peak);

    /// <summary>Value at the lowest row, in the unit of <see cref="Choice"/>; finite, default 0.</summary>
    public double Bottom { get; init; }

    /// <summary>Value at the highest row, in the same unit; finite and not <see cref="Bottom"/>, may be lower; default 4,095, the full code of 12 bits.</summary>
    public double Top { get; init; } = 4_095;

    /// <summary>Colours; default ink on light paper.</summary>
    public SheetColours Colours { get; init; } = SheetColours.Light;

    /// <summary>Thickness of the line in pixels.</summary>
    /// <value>1 to 16; default 1.5, which stays visible in pale ink.</value>
    public double LinePixels { get; init; } = 1.5;

    /// <summary>Clear pixels between the front and the older columns.</summary>
    /// <value>0 to 1,000; default 8.</value>
    public int GapPixels { get; init; } = 8;

    /// <summary>Whether a band from the lowest to the highest reading lies behind the line; default true.</summary>
    public bool ShowBand { get; init; } = true;

    /// <summary>Whether columns beyond the front are older ones, shown pale behind a gap; default true. False for a ramp turned by hand.</summary>
    public bool ShowFront { get; init; } = true;

    /// <summary>Whether marked columns are shown as such; default true.</summary>
    /// <remarks>Suspect columns are hatched from top to bottom; near the foot settling ones have dots, at the foot provisional ones dashes.</remarks>
    public bool ShowMarks { get; init; } = true;

    /// <summary>Heights of the horizontal grid lines as shares of the picture, 0 the lowest row; choose round values of the scale. Default none.</summary>
    public IReadOnlyList<double> GridRows { get; init; } = [];

    /// <summary>Places of the vertical grid lines as shares of the picture, 0 the left edge; choose round values of the axis. Default none.</summary>
    public IReadOnlyList<double> GridColumns { get; init; } = [];

    /// <summary>Throws when a value is outside its documented range.</summary>
    /// <exception cref="ArgumentException">A value is out of range; the message gives value, rule and fix.</exception>
    public void Validate()
    {
        if (!double.IsFinite(Bottom) || !double.IsFinite(Top) || Bottom == Top)
            throw new ArgumentException($"The picture goes from {Bottom} to {Top}; both must be finite and differ. Give the values at its lowest and highest row.");
        if (!(LinePixels is >= 1 and <= 16))
            throw new ArgumentException($"LinePixels is {LinePixels}; a line has 1 to 16 pixels. Give a thickness in that range.");
        if (GapPixels is < 0 or > 1_000)
            throw new ArgumentException($"GapPixels is {GapPixels}; a gap has 0 to 1,000 pixels. Give a width in that range.");
        if (GridRows.Concat(GridColumns).Any(g => !(g is >= 0 and <= 1)))
            throw new ArgumentException("A grid line lies outside of the picture; give shares from 0 to 1.");
    }
}
