namespace Acquire.Painting;

/// <summary>An opaque sRGB colour, 8 bits a channel.</summary>
/// <param name="Red">0 to 255.</param>
/// <param name="Green">0 to 255.</param>
/// <param name="Blue">0 to 255.</param>
public readonly record struct Colour(byte Red, byte Green, byte Blue)
{
    /// <summary>Luminance of light that this colour gives, 0 black to 1 white (WCAG 2.2: relative luminance).</summary>
    public double Luminance =>
        (0.2126 * SrgbTransfer.Decode(Red)) + (0.7152 * SrgbTransfer.Decode(Green)) + (0.0722 * SrgbTransfer.Decode(Blue));

    /// <summary>The nearest 8-bit colour; what sRGB cannot show is cut to what it can.</summary>
    /// <param name="colour">Any OKLab colour.</param>
    public static Colour From(OkLab colour)
    {
        (double red, double green, double blue) = colour.ToLinear();
        return new Colour(SrgbTransfer.Encode(red), SrgbTransfer.Encode(green), SrgbTransfer.Encode(blue));
    }

    /// <summary>This colour in OKLab.</summary>
    public OkLab ToOkLab() =>
        OkLab.FromLinear(SrgbTransfer.Decode(Red), SrgbTransfer.Decode(Green), SrgbTransfer.Decode(Blue));

    /// <summary>Contrast ratio with another colour, 1 to 21 (WCAG 2.2); order does not matter.</summary>
    /// <remarks>Text needs 4.5, graphics that must be understood 3.</remarks>
    /// <param name="other">The other colour.</param>
    public double ContrastWith(Colour other)
    {
        double here = Luminance + 0.05;
        double there = other.Luminance + 0.05;
        return here > there ? here / there : there / here;
    }

    /// <summary>This colour covered in part by another one.</summary>
    /// <remarks>Mixed in sRGB values, whole numbers only, so that every machine paints the same pixels.</remarks>
    /// <param name="cover">Colour on top.</param>
    /// <param name="sixteenths">Share of the area that it covers, 0 to 16.</param>
    internal Colour CoveredBy(Colour cover, int sixteenths) => sixteenths == 0 ? this : new(
        Mixed(Red, cover.Red, sixteenths), Mixed(Green, cover.Green, sixteenths), Mixed(Blue, cover.Blue, sixteenths));

    private static byte Mixed(byte under, byte over, int sixteenths) =>
        (byte)(((under * (16 - sixteenths)) + (over * sixteenths) + 8) >> 4);
}
