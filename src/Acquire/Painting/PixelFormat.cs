namespace Acquire.Painting;

/// <summary>How a pixel lies in memory.</summary>
public enum PixelFormat
{
    /// <summary>16 bits, red 5, green 6, blue 5 from the highest bit down, low byte first.</summary>
    Rgb565,

    /// <summary>Four bytes: blue, green, red, alpha; alpha is always written as 255.</summary>
    Bgra8888,
}
