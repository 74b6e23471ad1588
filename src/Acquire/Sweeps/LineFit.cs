namespace Acquire.Sweeps;

/// <summary>A straight line through scans, by least squares: its value at the last scan, its slope, its length.</summary>
/// <param name="End">Value at the last scan, in codes.</param>
/// <param name="Slope">Codes per scan.</param>
/// <param name="Scans">Scans that it goes through.</param>
internal readonly record struct LineFit(double End, double Slope, long Scans)
{
    /// <summary>Value at a number of scans after the last one; negative is before it.</summary>
    public double After(double scans) => End + (Slope * scans);
}
