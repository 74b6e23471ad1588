namespace Acquire.Harness.Inspect.Spectra;

/// <summary>What of a vertical is in the ramp.</summary>
/// <param name="Gain">Codes of the ramp for each code of the vertical.</param>
/// <param name="SwingCodes">From end to end of what the vertical does within a sweep, in codes of the vertical.</param>
/// <param name="Deviations">The gain in standard deviations of what noise would make.</param>
/// <param name="ShareExplained">Share of the ramp's short changes beyond its noise that the vertical explains.</param>
/// <param name="WeakerFlank">Gain on rising or on falling flanks, the smaller one, in gains of both together.</param>
internal readonly record struct CrosstalkReport(double Gain, double SwingCodes, double Deviations, double ShareExplained, double WeakerFlank);
