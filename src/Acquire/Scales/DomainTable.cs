using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using System.Runtime.Intrinsics.X86;

namespace Acquire.Scales;

/// <summary>One fixed-point value per code for one averaging domain, so that sums are integers and exact.</summary>
/// <remarks>
/// Level: decibels times 2^32. Voltage and power: the input quantity relative to its largest magnitude over all codes, times 2^62,
/// so that a reading 180 dB below the top still has a value. Rounded to nearest, once, when the table is built.
/// </remarks>
public sealed class DomainTable
{
    // A mean of decibels that holds "no input" is minus infinity. This value stands for it: a single one among 2^30 / 2,000
    // readings, half a million, pulls the mean below LowestMeanDb, which no real level reaches, whatever within +-1,000 dB the others read.
    private const long NoInput = -(1L << 62);
    private const double LowestMeanDb = -1_000;

    private const double TwoTo64 = 18_446_744_073_709_551_616.0;

    private readonly long[] _values;
    private readonly double _unit;
    private readonly double _topDb;
    private readonly double _lowest;

    private DomainTable(AveragingDomain domain, long[] values, double unit, double topDb)
    {
        Domain = domain;
        _values = values;
        _unit = unit;
        _topDb = topDb;
        _lowest = domain == AveragingDomain.Level ? LowestMeanDb : double.NegativeInfinity;
    }

    /// <summary>The domain that it is for.</summary>
    public AveragingDomain Domain { get; }

    /// <summary>Fixed-point value of every code, code 0 first.</summary>
    public ReadOnlySpan<long> Values => _values;

    /// <summary>Fixed-point value of a code.</summary>
    /// <param name="code">0 to the full code.</param>
    public long this[int code] => _values[code];

    /// <summary>Builds the table from the level of every code.</summary>
    /// <param name="domain">Averaging domain.</param>
    /// <param name="levelOfCodeDb">Level of each code in decibels, within +-1,000 dB, one entry per code; negative infinity is no input.</param>
    public static DomainTable Build(AveragingDomain domain, ReadOnlySpan<double> levelOfCodeDb)
    {
        double top = double.NegativeInfinity;
        foreach (double level in levelOfCodeDb) top = Math.Max(top, level);
        double unit = Math.ScaleB(1, domain == AveragingDomain.Level ? -32 : -62);
        long[] values = new long[levelOfCodeDb.Length];
        for (int code = 0; code < values.Length; code++)
        {
            double level = levelOfCodeDb[code];
            values[code] = domain switch
            {
                AveragingDomain.Level => level >= LowestMeanDb ? (long)Math.Round(level / unit) : NoInput,
                _ when double.IsNegativeInfinity(level) => 0,
                AveragingDomain.Voltage => (long)Math.Round(Math.Pow(10, (level - top) / 20) / unit),
                _ => (long)Math.Round(Math.Pow(10, (level - top) / 10) / unit),
            };
        }

        return new DomainTable(domain, values, unit, top);
    }

    /// <summary>Builds a voltage or power table from signed quantities, so that readings below no input keep their weight.</summary>
    /// <param name="domain">Voltage or power.</param>
    /// <param name="quantities">Input quantity of each code, in any unit, at least one not 0.</param>
    /// <param name="levelOfOneDb">Level of the quantity 1, in decibels.</param>
    internal static DomainTable BuildLinear(AveragingDomain domain, ReadOnlySpan<double> quantities, double levelOfOneDb)
    {
        double top = 0;
        foreach (double quantity in quantities) top = Math.Max(top, Math.Abs(quantity));
        double unit = Math.ScaleB(1, -62);
        long[] values = new long[quantities.Length];
        for (int code = 0; code < values.Length; code++) values[code] = (long)Math.Round(quantities[code] / top / unit);
        double decibels = domain == AveragingDomain.Voltage ? 20 : 10;
        return new DomainTable(domain, values, unit, levelOfOneDb + (decibels * Math.Log10(top)));
    }

    /// <summary>Level in decibels of the mean of <paramref name="count"/> table values.</summary>
    /// <param name="sum">Sum of table values.</param>
    /// <param name="count">Scans, at least 1.</param>
    /// <returns>Decibels; negative infinity where the mean is no input or less, or where a mean of decibels holds a reading without input
    /// (recognised among up to half a million readings).</returns>
    public double MeanLevelDb(Int128 sum, long count) => LevelOf(MeanOf(sum, count));

    /// <summary>Mean of table values, in the domain: decibels, or the quantity relative to the table's top.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    internal double MeanOf(Int128 sum, long count)
    {
        // Multiples of 2^64 and the rest either way of them: what fits 64 bits is rounded once, more of it twice, without a branch.
        long rest = (long)sum, whole = (long)(sum >> 64) - (rest >> 63);
        double mean = ((whole * TwoTo64) + rest) / count * _unit;
        return mean < _lowest ? double.NegativeInfinity : mean;
    }

    /// <summary>Means of table values, each with the bits of <see cref="MeanOf"/>; NaN where there are no scans.</summary>
    internal void MeansOf(ReadOnlySpan<Int128> sums, ReadOnlySpan<long> counts, Span<double> means)
    {
        int i = Avx2.IsSupported ? MeansOfFours(sums, counts, means) : 0;
        for (; i < means.Length; i++) means[i] = counts[i] > 0 ? MeanOf(sums[i], counts[i]) : double.NaN;
    }

    // Lanes as they come out of pairs of halves: columns 0, 2, 1, 3.
    private int MeansOfFours(ReadOnlySpan<Int128> sums, ReadOnlySpan<long> counts, Span<double> means)
    {
        const byte Order = 0b11_01_10_00;
        ReadOnlySpan<long> halves = MemoryMarshal.Cast<Int128, long>(sums);
        Vector256<double> twoTo64 = Vector256.Create(TwoTo64), unit = Vector256.Create(_unit), lowest = Vector256.Create(_lowest);
        int i = 0;
        for (; i <= means.Length - 4; i += 4)
        {
            Vector256<long> first = Vector256.Create(halves[(2 * i)..]), second = Vector256.Create(halves[((2 * i) + 4)..]);
            Vector256<long> rest = Avx2.UnpackLow(first, second), whole = Avx2.UnpackHigh(first, second) + (rest >>> 63);
            Vector256<long> count = Avx2.Permute4x64(Vector256.Create(counts[i..]), Order);
            Vector256<double> sum = (Vector256.ConvertToDouble(whole) * twoTo64) + Vector256.ConvertToDouble(rest);
            Vector256<double> mean = sum / Vector256.ConvertToDouble(count) * unit;
            mean = Vector256.ConditionalSelect(Vector256.LessThan(mean, lowest), Vector256.Create(double.NegativeInfinity), mean);
            mean = Vector256.ConditionalSelect(Vector256.GreaterThan(count, Vector256<long>.Zero).AsDouble(), mean, Vector256.Create(double.NaN));
            Avx2.Permute4x64(mean, Order).CopyTo(means[i..]);
        }

        return i;
    }

    /// <summary>Such a mean, or a mean of such means, as level in decibels.</summary>
    internal double LevelOf(double mean) =>
        Domain == AveragingDomain.Level ? mean : Decibels.Of(mean, DecibelsPerDecade, _topDb);

    /// <summary>Replaces means by their levels; NaN stays.</summary>
    internal void MakeLevels(Span<double> means)
    {
        if (Domain != AveragingDomain.Level) Decibels.Make(means, DecibelsPerDecade, _topDb);
    }

    private double DecibelsPerDecade => Domain == AveragingDomain.Voltage ? 20 : 10;

    /// <summary>A level as quantity of the domain: the reverse of <see cref="LevelOf"/>.</summary>
    internal double QuantityOf(double levelDb) => Domain switch
    {
        AveragingDomain.Level => levelDb,
        AveragingDomain.Voltage => Math.Pow(10, (levelDb - _topDb) / 20),
        _ => Math.Pow(10, (levelDb - _topDb) / 10),
    };
}
