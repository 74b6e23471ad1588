using Acquire.Painting;

namespace Acquire.Tests.Models;

/// <summary>CIELAB under D65 (CIE 15, ISO/CIE 11664-4) and the colour difference CIEDE2000 (Sharma, Wu and Dalal 2005).</summary>
internal readonly record struct CieLab(double L, double A, double B)
{
    // IEC 61966-2-1: sRGB to XYZ, white 0.9505 1 1.0890.
    public static CieLab FromLinear(double red, double green, double blue)
    {
        double x = F(((0.4124 * red) + (0.3576 * green) + (0.1805 * blue)) / 0.9505);
        double y = F((0.2126 * red) + (0.7152 * green) + (0.0722 * blue));
        double z = F(((0.0193 * red) + (0.1192 * green) + (0.9505 * blue)) / 1.0890);
        return new CieLab((116 * y) - 16, 500 * (x - y), 200 * (y - z));
    }

    public static CieLab Of(Colour colour) =>
        FromLinear(SrgbTransfer.Decode(colour.Red), SrgbTransfer.Decode(colour.Green), SrgbTransfer.Decode(colour.Blue));

    public double DifferenceTo(CieLab other)
    {
        double meanChroma = (Math.Sqrt((A * A) + (B * B)) + Math.Sqrt((other.A * other.A) + (other.B * other.B))) / 2;
        double g = 0.5 * (1 - Math.Sqrt(Math.Pow(meanChroma, 7) / (Math.Pow(meanChroma, 7) + Math.Pow(25, 7))));
        double a1 = A * (1 + g);
        double a2 = other.A * (1 + g);
        double c1 = Math.Sqrt((a1 * a1) + (B * B));
        double c2 = Math.Sqrt((a2 * a2) + (other.B * other.B));
        double h1 = Hue(a1, B);
        double h2 = Hue(a2, other.B);

        double turn = c1 * c2 == 0 ? 0 : h2 - h1;
        if (turn > 180) turn -= 360;
        if (turn < -180) turn += 360;
        double deltaL = other.L - L;
        double deltaC = c2 - c1;
        double deltaH = 2 * Math.Sqrt(c1 * c2) * Sin(turn / 2);

        double meanL = (L + other.L) / 2;
        double meanC = (c1 + c2) / 2;
        double meanH = h1 + h2;
        if (c1 * c2 != 0)
        {
            if (Math.Abs(h1 - h2) <= 180) meanH /= 2;
            else meanH = meanH < 360 ? (meanH + 360) / 2 : (meanH - 360) / 2;
        }

        double t = 1 - (0.17 * Cos(meanH - 30)) + (0.24 * Cos(2 * meanH)) + (0.32 * Cos((3 * meanH) + 6)) - (0.20 * Cos((4 * meanH) - 63));
        double sl = 1 + (0.015 * (meanL - 50) * (meanL - 50) / Math.Sqrt(20 + ((meanL - 50) * (meanL - 50))));
        double sc = 1 + (0.045 * meanC);
        double sh = 1 + (0.015 * meanC * t);
        double rotation = -2 * Math.Sqrt(Math.Pow(meanC, 7) / (Math.Pow(meanC, 7) + Math.Pow(25, 7)))
            * Sin(60 * Math.Exp(-Math.Pow((meanH - 275) / 25, 2)));
        double l = deltaL / sl;
        double c = deltaC / sc;
        double h = deltaH / sh;
        return Math.Sqrt((l * l) + (c * c) + (h * h) + (rotation * c * h));
    }

    private static double F(double t) => t > 216.0 / 24389 ? Math.Cbrt(t) : ((24389.0 / 27 * t) + 16) / 116;

    private static double Hue(double a, double b)
    {
        if (a == 0 && b == 0) return 0;
        double degrees = Math.Atan2(b, a) * 180 / Math.PI;
        return degrees < 0 ? degrees + 360 : degrees;
    }

    private static double Sin(double degrees) => Math.Sin(degrees * Math.PI / 180);

    private static double Cos(double degrees) => Math.Cos(degrees * Math.PI / 180);
}
