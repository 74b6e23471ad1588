namespace Acquire.Harness.Inspect.Spectra;

/// <summary>From lines of what is left of a vertical without its mean by place to the waves that they are of.</summary>
/// <param name="walk">The stream.</param>
/// <param name="sweeps">The sweeps looked at.</param>
/// <param name="channelCount">Words in a scan.</param>
/// <param name="periods">Distances of the sweeps.</param>
internal sealed class WaveSearch(IScanWalk walk, IReadOnlyList<SweepRow> sweeps, int channelCount, SweepPeriods periods)
{
    /// <summary>Share of a wave's power that must be left to tell its amplitude.</summary>
    /// <remarks>A fifth: noise then weighs 2.2 times as much. Three sweeps that begin a tenth of a cycle apart leave a quarter.</remarks>
    public const double LeastShareLeft = 0.2;

    // A line this small is no wave of one code, which is the least that counts, even where only a fifth of its power is left.
    private const double LeastLineCodes = 0.25;
    private const int MostWaves = 3;

    // The mean takes waves off at whole numbers of cycles in a sweep. With few sweeps, or where they come unevenly, these lie within the line's own width, four widths of a bin, and move its top: it is looked for farther away, and once more from near.
    private const int FewSweeps = 8;

    // With ramps of 16 bits all frequencies at once would need more memory than an inspection may take: then they go in several walks, four in each.
    private const int MostSpace = 18 << 16;

    private double[] _space = [];

    private readonly double _bin = 1.0 / (sweeps[^1].Info.EndPosition - sweeps[0].Info.StartPosition);

    /// <summary>Finds the waves.</summary>
    /// <param name="profile">Mean of the vertical by place over the sweeps.</param>
    /// <param name="lines">Lines, strongest first.</param>
    /// <param name="cancel">Stops the walks.</param>
    /// <returns>Frequency and amplitude of waves, in the order of the lines; without those that repeat with the sweep, or of which too little is left.</returns>
    public IReadOnlyList<SpectralLine> Of(VerticalProfile profile, IReadOnlyList<SpectralLine> lines, CancellationToken cancel)
    {
        List<SpectralLine> waves = [];
        int looked = 0;
        foreach (SpectralLine line in lines)
        {
            if (line.Amplitude < LeastLineCodes || periods.Repeats(line.CyclesPerScan)) continue;
            if (waves.Exists(wave => Math.Abs(wave.CyclesPerScan - line.CyclesPerScan) < 4 * _bin)) continue;
            if (looked++ == MostWaves) break;
            // What the mean leaves of a wave has weaker lines beside it: where the wave itself cannot be told, nor can they.
            if (Fitted(profile, line, cancel) is not { } found) break;
            if (!periods.Repeats(found.CyclesPerScan)) waves.Add(found);
        }

        return waves;
    }

    private SpectralLine? Fitted(VerticalProfile profile, SpectralLine line, CancellationToken cancel)
    {
        double? frequency = sweeps.Count > FewSweeps ? Top(profile, line.CyclesPerScan, aside: 2, _bin / 2, cancel) : null;
        if (frequency is null && Top(profile, line.CyclesPerScan, aside: 8, _bin / 2, cancel) is { } near) frequency = Top(profile, near, aside: 3, _bin / 8, cancel);
        if (frequency is not { } found) return null;
        (double amplitude, double share, _) = Look(profile, [found], cancel)[0];
        return share >= LeastShareLeft ? line with { CyclesPerScan = found, Amplitude = amplitude } : null;
    }

    // The frequency whose wave explains most, between those tried by a parabola; null where there is no top among them, since the line is of something else.
    private double? Top(VerticalProfile profile, double middle, int aside, double step, CancellationToken cancel)
    {
        double[] tried = [.. Enumerable.Range(-aside, (2 * aside) + 1).Select(i => middle + (i * step))];
        double[] explained = [.. Look(profile, tried, cancel).Select(wave => wave.Explained)];
        int top = Array.IndexOf(explained, explained.Max());
        if (top == 0 || top == tried.Length - 1) return null;
        double left = explained[top - 1], right = explained[top + 1], bend = left - (2 * explained[top]) + right;
        return tried[top] + (bend < 0 ? (left - right) / (2 * bend) * step : 0);
    }

    private List<(double Amplitude, double ShareLeft, double Explained)> Look(VerticalProfile profile, double[] cyclesPerScan, CancellationToken cancel)
    {
        List<(double, double, double)> found = [];
        int atOnce = cyclesPerScan.Length;
        while (atOnce > 1 && WaveFit.SpaceFor(profile, atOnce) > MostSpace) atOnce--;
        foreach (double[] some in cyclesPerScan.Chunk(atOnce))
        {
            int space = WaveFit.SpaceFor(profile, some.Length);
            if (_space.Length < space) _space = new double[space];
            WaveFit fit = new(sweeps, profile, channelCount, some, _space);
            walk.Walk(fit, cancel);
            for (int i = 0; i < some.Length; i++) found.Add(fit.At(i));
        }

        return found;
    }
}
