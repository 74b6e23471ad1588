namespace Acquire.Harness.Inspect.Spectra;

/// <summary>How sweeps are cut into stretches of equal length, so that their spectra can be averaged in bounded memory.</summary>
internal sealed record StretchLengths
{
    /// <summary>Most points of one stretch.</summary>
    public const int MostPoints = 65_536;

    /// <summary>Scans that become one point, by their mean.</summary>
    public required int ScansPerPoint { get; init; }

    /// <summary>Points from the middle of each sweep that are fitted: the outer twentieths, where the ramp turns, are left out.</summary>
    public required int Points { get; init; }

    /// <summary>Points of the spectrum; 0 where the sweeps are too short for one.</summary>
    public required int SpectrumPoints { get; init; }

    /// <summary>Scans of the spectrum at full rate; 0 where <see cref="ScansPerPoint"/> is 1 and the other one is at full rate already.</summary>
    public required int FullRatePoints { get; init; }

    /// <summary>Shortest sweep that fits.</summary>
    public required long LeastScans { get; init; }

    /// <summary>Lengths for some sweeps.</summary>
    /// <param name="sweeps">Complete sweeps, at least one.</param>
    public static StretchLengths For(IReadOnlyList<SweepRow> sweeps)
    {
        long[] lengths = [.. sweeps.Select(s => s.Info.EndScan - s.Info.StartScan).Order()];
        // Sweeps shorter than nine tenths of the usual one are left out instead of shortening all.
        long usual = lengths[lengths.Length / 2];
        long shortest = lengths.First(length => length >= usual * 9 / 10);
        int scansPerPoint = (int)((shortest + MostPoints - 1) / MostPoints);
        int points = (int)(shortest / scansPerPoint * 9 / 10);
        return new StretchLengths
        {
            ScansPerPoint = scansPerPoint,
            Points = points,
            SpectrumPoints = points < 64 ? 0 : points,
            FullRatePoints = scansPerPoint == 1 ? 0 : MostPoints / 2,
            LeastScans = shortest,
        };
    }
}
