namespace Acquire.Imaging;

/// <summary>Size of a sheet.</summary>
public sealed record SheetSize
{
    /// <summary>Smallest width in pixels.</summary>
    public const int MinWidth = 480;

    /// <summary>Smallest height in pixels.</summary>
    public const int MinHeight = 272;

    /// <summary>Largest width or height in pixels.</summary>
    public const int Max = 16_384;

    /// <summary>Makes a size in pixels.</summary>
    /// <param name="width">480 to 16,384 pixels.</param>
    /// <param name="height">272 to 16,384 pixels.</param>
    /// <param name="dotsPerInch">Resolution on paper, written into the files; null for a screen.</param>
    /// <exception cref="ArgumentOutOfRangeException">A value is outside its range.</exception>
    public SheetSize(int width, int height, double? dotsPerInch = null)
    {
        if (width is < MinWidth or > Max) throw new ArgumentOutOfRangeException(nameof(width), width, $"A sheet is {MinWidth} to {Max} pixels wide; choose a width in that range.");
        if (height is < MinHeight or > Max) throw new ArgumentOutOfRangeException(nameof(height), height, $"A sheet is {MinHeight} to {Max} pixels high; choose a height in that range.");
        if (dotsPerInch is { } dots && dots is not (>= 10 and <= 10_000)) throw new ArgumentOutOfRangeException(nameof(dotsPerInch), dots, "Resolution is 10 to 10000 dots per inch; leave it out for a screen.");
        (Width, Height, DotsPerInch) = (width, height, dotsPerInch);
    }

    /// <summary>A small panel: 480 by 272 pixels.</summary>
    public static SheetSize SmallPanel { get; } = new(480, 272);

    /// <summary>A picture for a page or a screen: 1600 by 1000 pixels.</summary>
    public static SheetSize Page { get; } = new(1600, 1000);

    /// <summary>A4 across at 300 dots per inch: 3508 by 2480 pixels.</summary>
    public static SheetSize A4At300Dpi { get; } = new(3508, 2480, 300);

    /// <summary>A3 across at 300 dots per inch: 4961 by 3508 pixels.</summary>
    public static SheetSize A3At300Dpi { get; } = new(4961, 3508, 300);

    /// <summary>Width in pixels.</summary>
    public int Width { get; }

    /// <summary>Height in pixels.</summary>
    public int Height { get; }

    /// <summary>Resolution on paper in dots per inch; null for a screen.</summary>
    public double? DotsPerInch { get; }
}
