namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Spectra of the same stretch of many sweeps of one channel: low frequencies from means, high ones at full rate.</summary>
internal sealed class StretchSpectra
{
    // Means of n scans pass 76 % of a line at this share of their rate; below it what they pass is made good, above it the full rate takes over.
    private const double UsableShare = 0.4;

    private readonly int _scansPerPoint;
    private readonly PowerSpectrum? _low;
    private readonly PowerSpectrum? _high;

    /// <summary>Allocates for stretches of given lengths.</summary>
    public StretchSpectra(StretchLengths lengths)
    {
        _scansPerPoint = lengths.ScansPerPoint;
        if (lengths.SpectrumPoints > 0) _low = new PowerSpectrum(lengths.SpectrumPoints);
        if (lengths.FullRatePoints > 0) _high = new PowerSpectrum(lengths.FullRatePoints);
    }

    /// <summary>Takes a filled stretch; its slow course is taken out in place.</summary>
    /// <returns>Slope at the start and at the end, per scan.</returns>
    public (double StartSlope, double EndSlope) Add(StretchReader stretch)
    {
        (double start, double end) = CubicCourse.Remove(stretch.Points);
        _low?.Add(stretch.Points);
        if (_high is not null)
        {
            CubicCourse.Remove(stretch.FullRate);
            _high.Add(stretch.FullRate);
        }

        return (start / _scansPerPoint, end / _scansPerPoint);
    }

    /// <summary>Lines that stand out, strongest first.</summary>
    public IReadOnlyList<SpectralLine> Lines()
    {
        List<SpectralLine> lines = [];
        double limit = _high is null ? 0.5 : UsableShare / _scansPerPoint;
        if (_low is not null)
        {
            lines.AddRange(LineSearch.Find(_low, _scansPerPoint)
                .Where(line => line.CyclesPerScan <= limit)
                .Select(line => line with { Amplitude = line.Amplitude / ShareOfMean(line.CyclesPerScan) }));
        }

        if (_high is not null) lines.AddRange(LineSearch.Find(_high, 1).Where(line => line.CyclesPerScan > limit));
        lines.Sort((a, b) => b.Amplitude.CompareTo(a.Amplitude));
        return lines;
    }

    // What the mean of n scans leaves of a sine: sin(pi f n) / (n sin(pi f)).
    private double ShareOfMean(double cyclesPerScan) => _scansPerPoint == 1
        ? 1
        : Math.Sin(Math.PI * cyclesPerScan * _scansPerPoint) / (_scansPerPoint * Math.Sin(Math.PI * cyclesPerScan));
}
