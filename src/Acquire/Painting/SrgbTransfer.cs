namespace Acquire.Painting;

/// <summary>Between 8-bit sRGB values and linear light (IEC 61966-2-1).</summary>
internal static class SrgbTransfer
{
    public static double Decode(byte value)
    {
        double v = value / 255.0;
        return v <= 0.04045 ? v / 12.92 : Math.Pow((v + 0.055) / 1.055, 2.4);
    }

    /// <summary>The nearest 8-bit value; light outside of 0 to 1 is cut.</summary>
    public static byte Encode(double light) => (byte)Math.Round(EncodeUnrounded(light));

    /// <summary>The value on the scale 0 to 255 before rounding; light outside of 0 to 1 is cut.</summary>
    public static double EncodeUnrounded(double light)
    {
        double cut = Math.Clamp(light, 0, 1);
        return 255 * (cut <= 0.0031308 ? 12.92 * cut : (1.055 * Math.Pow(cut, 1 / 2.4)) - 0.055);
    }
}
