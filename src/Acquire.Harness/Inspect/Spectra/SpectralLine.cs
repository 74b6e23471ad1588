namespace Acquire.Harness.Inspect.Spectra;

/// <summary>A line that stands out of a spectrum.</summary>
/// <param name="CyclesPerScan">Frequency in cycles per scan; times the scan rate it is hertz.</param>
/// <param name="Amplitude">Peak amplitude (half of peak to peak), in the signal's unit.</param>
/// <param name="Prominence">Power relative to the floor beside it.</param>
internal readonly record struct SpectralLine(double CyclesPerScan, double Amplitude, double Prominence);
