namespace Acquire.Scales;

/// <summary>One fixed-point value per code for one averaging domain, so that sums are integers and exact.</summary>
/// <remarks>
/// Level: decibels times 2^32. Voltage and power: the input quantity relative to its largest value over all codes, times 2^62,
/// so that a reading 180 dB below the top still has a value. Rounded to nearest, once, when the table is built.
/// </remarks>
public sealed class DomainTable
{
    private readonly long[] _values;
    private readonly double _unit;
    private readonly double _topDb;
    private readonly AveragingDomain _domain;

    private DomainTable(AveragingDomain domain, long[] values, double unit, double topDb)
    {
        _domain = domain;
        _values = values;
        _unit = unit;
        _topDb = topDb;
    }

    /// <summary>Fixed-point value of a code.</summary>
    /// <param name="code">0 to the full code.</param>
    public long this[int code] => _values[code];

    /// <summary>Builds the table from the level of every code.</summary>
    /// <param name="domain">Averaging domain.</param>
    /// <param name="levelOfCodeDb">Level of each code in decibels, one entry per code; negative infinity is no input.</param>
    public static DomainTable Build(AveragingDomain domain, ReadOnlySpan<double> levelOfCodeDb)
    {
        double top = double.NegativeInfinity;
        foreach (double level in levelOfCodeDb) top = Math.Max(top, level);
        double unit = domain == AveragingDomain.Level ? Math.ScaleB(1, -32) : Math.ScaleB(1, -62);
        long[] values = new long[levelOfCodeDb.Length];
        for (int code = 0; code < values.Length; code++)
        {
            double level = levelOfCodeDb[code];
            double value = domain switch
            {
                // -1000 dB stands for "no input": a mean of decibels has no value for it.
                AveragingDomain.Level => Math.Max(level, -1000),
                AveragingDomain.Voltage => Math.Pow(10, (level - top) / 20),
                _ => Math.Pow(10, (level - top) / 10),
            };
            values[code] = (long)Math.Round(value / unit);
        }

        return new DomainTable(domain, values, unit, top);
    }

    /// <summary>Level in decibels of the mean of <paramref name="count"/> table values.</summary>
    /// <param name="sum">Sum of table values.</param>
    /// <param name="count">Scans, at least 1.</param>
    /// <returns>Decibels; negative infinity where the mean is zero.</returns>
    public double MeanLevelDb(Int128 sum, long count)
    {
        double mean = (double)sum / count * _unit;
        return _domain switch
        {
            AveragingDomain.Level => mean,
            AveragingDomain.Voltage => _topDb + (20 * Math.Log10(mean)),
            _ => _topDb + (10 * Math.Log10(mean)),
        };
    }
}
