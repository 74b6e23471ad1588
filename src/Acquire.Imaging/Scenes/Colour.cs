using System.Globalization;

namespace Acquire.Imaging.Scenes;

/// <summary>One sRGB colour with straight (not premultiplied) opacity.</summary>
/// <param name="Red">Red code, 0 to 255.</param>
/// <param name="Green">Green code, 0 to 255.</param>
/// <param name="Blue">Blue code, 0 to 255.</param>
/// <param name="Alpha">Opacity, 0 (clear) to 255 (opaque).</param>
public readonly record struct Colour(byte Red, byte Green, byte Blue, byte Alpha = 255)
{
    /// <summary>Makes an opaque colour from a 24-bit number.</summary>
    /// <param name="rgb">0xRRGGBB.</param>
    public static Colour FromRgb(int rgb) => new((byte)(rgb >> 16), (byte)(rgb >> 8), (byte)rgb);

    /// <summary>The colour in the notation of CSS, without its opacity: <c>#rrggbb</c>.</summary>
    public string ToHex() => string.Create(CultureInfo.InvariantCulture, $"#{Red:x2}{Green:x2}{Blue:x2}");
}
