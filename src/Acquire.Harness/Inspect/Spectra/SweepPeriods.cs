namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Distances of sweeps that follow one another.</summary>
internal sealed class SweepPeriods
{
    private readonly double[] _periods;

    /// <summary>Takes the steadier of two ways to tell when a sweep came: its start, which noise on a slow ramp leaves off by scans, and the time at which it passes a code, which a pause somewhere in it moves.</summary>
    /// <param name="sweeps">Complete sweeps, in order.</param>
    /// <param name="passes">Position at which each passes a code that all have in common.</param>
    public SweepPeriods(IReadOnlyList<SweepRow> sweeps, IReadOnlyList<double> passes)
    {
        double[] starts = Of(sweeps, [.. sweeps.Select(sweep => (double)sweep.Info.StartPosition)]), finer = Of(sweeps, passes);
        (double, double) known = MedianAndDeviation(starts), fine = MedianAndDeviation(finer);
        bool isFiner = fine.Item2 < known.Item2;
        _periods = isFiner ? finer : starts;
        (MedianScans, _) = isFiner ? fine : known;
        SpreadScans = _periods.Length < 2 ? double.NaN : _periods.Max(period => Math.Abs(period - MedianScans));
    }

    /// <summary>Their median, in scans; NaN where fewer than two are known.</summary>
    public double MedianScans { get; }

    /// <summary>Largest deviation from the median, in scans.</summary>
    public double SpreadScans { get; }

    /// <summary>Whether a wave has a whole number of cycles from sweep to sweep, to a tenth and for nine in ten of them.</summary>
    /// <remarks>Where sweeps come unevenly the median would say so of a wave that has in few of them. What changes slowly from sweep to sweep has.</remarks>
    /// <param name="cyclesPerScan">Its frequency.</param>
    /// <returns>True too where no distance is known.</returns>
    public bool Repeats(double cyclesPerScan)
    {
        if (double.IsNaN(MedianScans)) return true;
        return _periods.Count(period => Math.Abs(Math.IEEERemainder(cyclesPerScan * period, 1)) <= 0.1) >= 0.9 * _periods.Length;
    }

    // With a ramp that draws both ways, from one sweep to the next of the same direction.
    private static double[] Of(IReadOnlyList<SweepRow> sweeps, IReadOnlyList<double> positions)
    {
        List<double> periods = [];
        for (int i = 1; i < sweeps.Count; i++)
        {
            int before = sweeps[i].Info.Direction == sweeps[i - 1].Info.Direction ? i - 1 : i - 2;
            if (before < 0 || sweeps[i].Info.Direction != sweeps[before].Info.Direction) continue;
            if (sweeps[i].Info.Number - sweeps[before].Info.Number == i - before) periods.Add(positions[i] - positions[before]);
        }

        return [.. periods];
    }

    private static (double Median, double Deviation) MedianAndDeviation(double[] periods)
    {
        if (periods.Length < 2 || !periods.All(double.IsFinite)) return (double.NaN, double.NaN);
        double median = Median(periods);
        return (median, periods.Average(period => Math.Abs(period - median)));
    }

    private static double Median(double[] values) => values.Order().ElementAt(values.Length / 2);
}
