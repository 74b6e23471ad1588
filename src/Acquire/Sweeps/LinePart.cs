using System.Runtime.InteropServices;

namespace Acquire.Sweeps;

/// <summary>Scans side by side, as far as lines through them need to know them: codes less an origin.</summary>
/// <param name="N">How many.</param>
/// <param name="Spread">Sum of the squares of their times from the middle.</param>
/// <param name="Mean">Their mean.</param>
/// <param name="Off">The same by the line through them: value at its middle.</param>
/// <param name="Slope">Of the line, codes per scan.</param>
[StructLayout(LayoutKind.Auto)]
internal readonly record struct LinePart(double N, double Spread, double Mean, double Off, double Slope)
{
    /// <summary>Sum of time from the middle by code.</summary>
    public double Moment => Slope * Spread;

    /// <summary>What a level through them explains of the sum of squares.</summary>
    public double Level => Mean * Mean * N;

    /// <summary>What a line through them explains.</summary>
    public double Line => (Off * Off * N) + (Slope * Slope * N * ((N * N) - 1) / 12);
}
