namespace Acquire.Imaging.Layout;

/// <summary>Sizes from which a sheet is built, in pixels; all follow from the height of its letters.</summary>
internal sealed class SheetMetrics
{
    // Chosen by eye on A3, a page and a small panel: about 2.9 mm letters on A3, 8 pixels on the panel.
    private const double SheetOverLetter = 120;
    private const double SmallestLetter = 8, SmallestNote = 7;

    public SheetMetrics(double width, double height)
    {
        double letter = Math.Max(SmallestLetter, Math.Sqrt(width * height) / SheetOverLetter);
        Normal = letter < 26 ? Math.Round(letter) : letter;
        Small = Math.Max(SmallestNote, letter < 26 ? Math.Round(Normal * 0.8) : Normal * 0.8);
        Large = letter < 26 ? Math.Round(Normal * 1.5) : Normal * 1.5;
        Margin = Math.Max(4, Math.Round(Normal * (Normal > 9 ? 1.6 : 0.5)));
        Thin = Math.Max(1, Normal * 0.06);
        Medium = Math.Max(1, Normal * 0.1);
        Thick = Math.Max(1.5, Normal * 0.16);
        TracePen = Math.Max(1.5, Normal * 0.15);
    }

    /// <summary>Height of values.</summary>
    public double Normal { get; }

    /// <summary>Height of names and of numbers on axes.</summary>
    public double Small { get; }

    /// <summary>Height of the title.</summary>
    public double Large { get; }

    /// <summary>From the edge of the sheet to its frame.</summary>
    public double Margin { get; }

    /// <summary>Pen of grid lines.</summary>
    public double Thin { get; }

    /// <summary>Pen of dividing lines, dimensions and leaders.</summary>
    public double Medium { get; }

    /// <summary>Pen of frames.</summary>
    public double Thick { get; }

    /// <summary>Pen of the trace.</summary>
    public double TracePen { get; }
}
