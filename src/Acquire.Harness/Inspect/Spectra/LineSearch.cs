namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Finds lines that stand out of a spectrum's floor.</summary>
internal static class LineSearch
{
    /// <summary>How far, in power, a line must stand above the floor to either side.</summary>
    /// <remarks>
    /// 50 times (17 dB). Among 32,768 bins of white noise seen once, the highest is about ln 32,768 / ln 2 = 15 times the median, and
    /// once in a thousand spectra 25 times; a bow or a kink falls smoothly and stands out nowhere.
    /// </remarks>
    public const double LeastProminence = 50;

    private const int FloorBins = 24;

    /// <summary>Lines, strongest first.</summary>
    /// <param name="spectrum">At least one stretch.</param>
    /// <param name="scansPerPoint">Scans that one point of the signal stands for.</param>
    /// <param name="most">Lines wanted at most.</param>
    public static IReadOnlyList<SpectralLine> Find(PowerSpectrum spectrum, double scansPerPoint, int most = 8)
    {
        List<SpectralLine> lines = [];
        if (spectrum.Stretches == 0) return lines;
        for (int k = spectrum.MainLobeBins + 1; k < spectrum.Bins - 1; k++)
        {
            double power = spectrum.PowerAt(k);
            if (power <= 0 || power < spectrum.PowerAt(k - 1) || power < spectrum.PowerAt(k + 1)) continue;
            double floor = FloorAt(spectrum, k);
            if (!(power >= LeastProminence * floor)) continue;
            (double bin, double top) = TopOf(spectrum, k);
            lines.Add(new SpectralLine(bin / spectrum.Length / scansPerPoint, spectrum.AmplitudeOf(top), floor > 0 ? power / floor : double.PositiveInfinity));
        }

        lines.Sort((a, b) => b.Amplitude.CompareTo(a.Amplitude));
        return lines.Count > most ? lines[..most] : lines;
    }

    // The higher of the medians left and right: on a slope the left one is the higher, beside a strong line the one on its side.
    private static double FloorAt(PowerSpectrum spectrum, int k)
    {
        double left = Median(spectrum, Math.Max(2, k - spectrum.MainLobeBins - FloorBins), k - spectrum.MainLobeBins);
        double right = Median(spectrum, k + spectrum.MainLobeBins + 1, Math.Min(spectrum.Bins, k + spectrum.MainLobeBins + 1 + FloorBins));
        return Math.Max(left, right);
    }

    private static double Median(PowerSpectrum spectrum, int from, int end)
    {
        Span<double> powers = stackalloc double[FloorBins];
        int count = 0;
        for (int k = from; k < end && count < FloorBins; k++) powers[count++] = spectrum.PowerAt(k);
        if (count == 0) return 0;
        powers = powers[..count];
        powers.Sort();
        return powers[count / 2];
    }

    // Parabola through the logarithms of the top three bins; the window's main lobe is close to one.
    private static (double Bin, double Power) TopOf(PowerSpectrum spectrum, int k)
    {
        double left = spectrum.PowerAt(k - 1), top = spectrum.PowerAt(k), right = spectrum.PowerAt(k + 1);
        if (!(left > 0 && right > 0)) return (k, top);
        double a = Math.Log(left), b = Math.Log(top), c = Math.Log(right);
        double bend = a - (2 * b) + c;
        if (bend >= 0) return (k, top);
        double offset = Math.Clamp((a - c) / (2 * bend), -0.5, 0.5);
        return (k + offset, Math.Exp(b - ((a - c) * offset / 4)));
    }
}
