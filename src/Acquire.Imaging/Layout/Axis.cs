namespace Acquire.Imaging.Layout;

/// <summary>A straight scale from values to pixels.</summary>
/// <param name="Low">Lower value.</param>
/// <param name="High">Upper value.</param>
/// <param name="PixelAtLow">Pixel of the lower value.</param>
/// <param name="PixelAtHigh">Pixel of the upper value.</param>
internal readonly record struct Axis(double Low, double High, double PixelAtLow, double PixelAtHigh)
{
    public double At(double value) => PixelAtLow + ((value - Low) / (High - Low) * (PixelAtHigh - PixelAtLow));

    public double Length => Math.Abs(PixelAtHigh - PixelAtLow);

    /// <summary>The value at a pixel.</summary>
    public double ValueAt(double pixel) => Low + ((pixel - PixelAtLow) / (PixelAtHigh - PixelAtLow) * (High - Low));
}
