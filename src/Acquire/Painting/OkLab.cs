namespace Acquire.Painting;

/// <summary>A colour in OKLab (Ottosson 2020): equal distances look about equally far apart.</summary>
/// <param name="L">Lightness, 0 black to 1 white.</param>
/// <param name="A">Green (negative) to red.</param>
/// <param name="B">Blue (negative) to yellow.</param>
public readonly record struct OkLab(double L, double A, double B)
{
    /// <summary>A colour from lightness, chroma and hue.</summary>
    /// <param name="lightness">0 to 1.</param>
    /// <param name="chroma">0 is grey; sRGB holds up to about 0.3.</param>
    /// <param name="hueDegrees">Angle in degrees: about 30 red, 110 yellow, 145 green, 265 blue.</param>
    public static OkLab FromHue(double lightness, double chroma, double hueDegrees)
    {
        (double sin, double cos) = Math.SinCos(hueDegrees * Math.PI / 180);
        return new OkLab(lightness, chroma * cos, chroma * sin);
    }

    /// <summary>The colour a share of the way to another one, on the straight line between them.</summary>
    /// <param name="other">The other colour.</param>
    /// <param name="share">0 gives this colour, 1 the other.</param>
    public OkLab Towards(OkLab other, double share) =>
        new(L + ((other.L - L) * share), A + ((other.A - A) * share), B + ((other.B - B) * share));

    /// <summary>Linear sRGB light; outside of 0 to 1 where sRGB cannot show the colour.</summary>
    public (double Red, double Green, double Blue) ToLinear()
    {
        double l = Cube(L + (0.3963377774 * A) + (0.2158037573 * B));
        double m = Cube(L - (0.1055613458 * A) - (0.0638541728 * B));
        double s = Cube(L - (0.0894841775 * A) - (1.2914855480 * B));
        return ((4.0767416621 * l) - (3.3077115913 * m) + (0.2309699292 * s),
            (-1.2684380046 * l) + (2.6097574011 * m) - (0.3413193965 * s),
            (-0.0041960863 * l) - (0.7034186147 * m) + (1.7076147010 * s));
    }

    /// <summary>The OKLab colour of linear sRGB light.</summary>
    /// <param name="red">0 to 1.</param>
    /// <param name="green">0 to 1.</param>
    /// <param name="blue">0 to 1.</param>
    public static OkLab FromLinear(double red, double green, double blue)
    {
        double l = Math.Cbrt((0.4122214708 * red) + (0.5363325363 * green) + (0.0514459929 * blue));
        double m = Math.Cbrt((0.2119034982 * red) + (0.6806995451 * green) + (0.1073969566 * blue));
        double s = Math.Cbrt((0.0883024619 * red) + (0.2817188376 * green) + (0.6299787005 * blue));
        return new OkLab((0.2104542553 * l) + (0.7936177850 * m) - (0.0040720468 * s),
            (1.9779984951 * l) - (2.4285922050 * m) + (0.4505937099 * s),
            (0.0259040371 * l) + (0.7827717662 * m) - (0.8086757660 * s));
    }

    private static double Cube(double x) => x * x * x;
}
