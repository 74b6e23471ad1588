using System.Diagnostics;
using Acquire.Columns;
using Acquire.Scales;

namespace Acquire.Traces;

/// <summary>Reads the values of columns: detector, unit and averaging domain of a caller's choice.</summary>
/// <remarks>
/// <para>Peak is the reading highest on the screen, minimum the lowest: where the screen's up is falling codes, the peak is the lowest code.</para>
/// <para>Average in codes and volts is the mean of the codes. In level it is the mean in the domain: in the vertical's own domain from the
/// sum of codes where that is a straight line over codes, otherwise from the domain's sum, which the setup must have asked for.
/// Nothing is ever computed back from column values: the mean of decibels of noise is 2.51 dB below its mean power.</para>
/// <para>RMS in codes and volts is the root of the mean square; in level it is the level of the mean power, for every law.
/// A vertical linear in voltage has it from its sum of squares, one linear in power from its sum of codes, a logarithmic one
/// from the power domain's sum.</para>
/// <para>Sample is the last reading. Immutable; any thread may read, as far as the columns allow it. No method allocates.</para>
/// </remarks>
public sealed class ColumnValues
{
    private readonly VerticalConverter _converter;

    /// <summary>Makes a reader.</summary>
    /// <param name="converter">Scale and tables of the vertical whose columns are read.</param>
    public ColumnValues(VerticalConverter converter)
    {
        ArgumentNullException.ThrowIfNull(converter);
        _converter = converter;
    }

    /// <summary>Scale and tables of the vertical.</summary>
    public VerticalConverter Converter => _converter;

    /// <summary>Whether a choice can be had with this vertical's scale and domains, and if not, why.</summary>
    /// <param name="choice">Detector, unit and domain.</param>
    public ValueAvailability Check(ValueChoice choice)
    {
        AveragingDomain own = _converter.OwnDomain;
        if (choice.Unit == ValueUnit.Volts && !_converter.HasVolts) return ValueAvailability.NoVolts;
        if (choice.Unit == ValueUnit.Level && !_converter.HasLevel) return ValueAvailability.NoLevel;
        if (choice.Domain is { } domain)
        {
            bool applies = choice.Detector == Detector.Rms
                ? choice.Unit == ValueUnit.Level && domain == AveragingDomain.Power
                : choice.Unit == ValueUnit.Level || (domain == own && _converter.OwnDomainIsStraight);
            if (!applies) return ValueAvailability.DomainDoesNotApply;
        }

        bool needsTable = choice.Detector is Detector.Average or Detector.Rms && BasisOf(choice) == ValueBasis.Domain;
        return needsTable && _converter.Tables[(int)DomainOf(choice)] is null
            ? ValueAvailability.DomainNotAsked
            : ValueAvailability.Available;
    }

    /// <summary>Reads every column.</summary>
    /// <param name="columns">Columns of this vertical.</param>
    /// <param name="choice">Detector, unit and domain.</param>
    /// <param name="values">Gets one value per column, NaN where unfilled; at least as long as there are columns. Untouched unless available.</param>
    /// <returns>Whether the values could be had.</returns>
    public ValueAvailability Read(ColumnStatistics columns, ValueChoice choice, Span<double> values)
    {
        ArgumentNullException.ThrowIfNull(columns);
        if (values.Length < columns.ColumnCount)
            throw new ArgumentException($"Room for {values.Length} values but there are {columns.ColumnCount} columns; give one value per column.", nameof(values));
        return Read(columns, 0, choice, values[..columns.ColumnCount]);
    }

    /// <summary>Reads some columns.</summary>
    /// <param name="columns">Columns of this vertical.</param>
    /// <param name="firstColumn">Column of the first value.</param>
    /// <param name="choice">Detector, unit and domain.</param>
    /// <param name="values">Gets one value per column from the first on, NaN where unfilled. Untouched unless available.</param>
    /// <returns>Whether the values could be had.</returns>
    public ValueAvailability Read(ColumnStatistics columns, int firstColumn, ValueChoice choice, Span<double> values)
    {
        ArgumentNullException.ThrowIfNull(columns);
        ValueAvailability availability;
        if (choice.Detector is not (Detector.Average or Detector.Rms))
        {
            availability = Check(choice);
            if (availability == ValueAvailability.Available) ReadSingles(columns, firstColumn, choice, values);
            return availability;
        }

        availability = ReadQuantities(columns, firstColumn, choice, values, out ValueBasis basis);
        if (availability != ValueAvailability.Available) return availability;
        for (int i = 0; i < values.Length; i++)
        {
            if (!double.IsNaN(values[i])) values[i] = ValueOf(values[i], basis, choice);
        }

        return availability;
    }

    /// <summary>What to say when a choice cannot be had.</summary>
    /// <param name="availability">What <see cref="Check"/> or a read returned.</param>
    /// <param name="choice">The choice.</param>
    /// <returns>One sentence with the fix; empty when available.</returns>
    public static string Explain(ValueAvailability availability, ValueChoice choice) => availability switch
    {
        ValueAvailability.NoVolts => "Volts are not available: the setup has no volts for this vertical; give the volts at code 0 and at full code.",
        ValueAvailability.NoLevel => "Level is not available: the setup has no level for this vertical; give points of volts and level.",
        ValueAvailability.DomainNotAsked when choice.Detector == Detector.Rms =>
            "RMS in level is not available: its power sum was not kept; name the power domain in the setup's averaging domains and take the data again.",
        ValueAvailability.DomainNotAsked =>
            $"The average in the {choice.Domain ?? AveragingDomain.Level} domain is not available: its sum was not kept; name it in the setup's averaging domains and take the data again.",
        ValueAvailability.DomainDoesNotApply when choice.Detector == Detector.Rms =>
            $"RMS is an average of power, not of {choice.Domain}; leave the domain out.",
        ValueAvailability.DomainDoesNotApply => $"An average in the {choice.Domain} domain has no value in {choice.Unit}; ask for level or leave the domain out.",
        _ => string.Empty,
    };

    /// <summary>Reads quantities that may be averaged over sweeps, and from which <see cref="ValueOf"/> makes values.</summary>
    internal ValueAvailability ReadQuantities(
        ColumnStatistics columns, int firstColumn, ValueChoice choice, Span<double> quantities, out ValueBasis basis)
    {
        basis = default;
        ValueAvailability availability = Check(choice);
        if (availability != ValueAvailability.Available) return availability;
        basis = BasisOf(choice);
        if (choice.Detector is not (Detector.Average or Detector.Rms))
        {
            ReadSingleQuantities(columns, firstColumn, choice, quantities, basis);
            return availability;
        }

        if (basis == ValueBasis.Domain)
        {
            AveragingDomain domain = DomainOf(choice);
            if (!columns.Has(domain)) return ValueAvailability.DomainNotAsked;
            DomainTable table = _converter.Tables[(int)domain]!;
            ReadOnlySpan<Int128> sums = columns.DomainSums(domain).Slice(firstColumn, quantities.Length);
            ReadOnlySpan<long> counts = columns.Counts.Slice(firstColumn, quantities.Length);
            for (int i = 0; i < quantities.Length; i++)
                quantities[i] = counts[i] > 0 ? table.MeanOf(sums[i], counts[i]) : double.NaN;
            return availability;
        }

        ReadMeans(columns, firstColumn, quantities, basis);
        return availability;
    }

    /// <summary>The value of a quantity, or of a mean of quantities.</summary>
    internal double ValueOf(double quantity, ValueBasis basis, ValueChoice choice)
    {
        switch (basis)
        {
            case ValueBasis.Codes:
                return OfCode(quantity, choice.Unit);
            case ValueBasis.CodeSquares:
            case ValueBasis.VoltSquares:
                return Math.Sqrt(quantity);
            case ValueBasis.RatioSquares:
                return _converter.LevelOfRatio(Math.Sqrt(quantity));
            default:
                AveragingDomain domain = DomainOf(choice);
                return _converter.Tables[(int)domain] is { } table ? table.LevelOf(quantity) : LevelOfPlain(quantity, domain);
        }
    }

    /// <summary>A single reading, or a straight-line mean of codes, in a unit.</summary>
    internal double OfCode(double code, ValueUnit unit) => unit switch
    {
        ValueUnit.Code => code,
        ValueUnit.Volts => _converter.VoltsOf(code),
        _ => _converter.LevelOf(code),
    };

    private AveragingDomain DomainOf(ValueChoice choice) =>
        choice.Detector == Detector.Rms ? AveragingDomain.Power : choice.Domain ?? _converter.OwnDomain;

    private ValueBasis BasisOf(ValueChoice choice)
    {
        bool rms = choice.Detector == Detector.Rms;
        if (choice.Unit == ValueUnit.Code) return rms ? ValueBasis.CodeSquares : ValueBasis.Codes;
        if (choice.Unit == ValueUnit.Volts) return rms ? ValueBasis.VoltSquares : ValueBasis.Codes;
        AveragingDomain domain = DomainOf(choice);
        if (domain == _converter.OwnDomain && _converter.OwnDomainIsStraight) return ValueBasis.Codes;
        return _converter.Scale.Law == VerticalLaw.Voltage && domain == AveragingDomain.Power ? ValueBasis.RatioSquares : ValueBasis.Domain;
    }

    private ReadOnlySpan<ushort> SingleCodes(ColumnStatistics columns, Detector detector)
    {
        if (detector == Detector.Sample) return columns.LastCodes;
        return detector == Detector.Peak == _converter.CodesRiseOnScreen ? columns.HighestCodes : columns.LowestCodes;
    }

    private void ReadSingles(ColumnStatistics columns, int firstColumn, ValueChoice choice, Span<double> values)
    {
        ReadOnlySpan<ushort> codes = SingleCodes(columns, choice.Detector).Slice(firstColumn, values.Length);
        ReadOnlySpan<long> counts = columns.Counts.Slice(firstColumn, values.Length);
        ReadOnlySpan<double> levels = _converter.LevelsOfCodes;
        for (int i = 0; i < values.Length; i++)
        {
            if (counts[i] == 0) values[i] = double.NaN;
            else values[i] = choice.Unit == ValueUnit.Level ? levels[codes[i]] : OfCode(codes[i], choice.Unit);
        }
    }

    private void ReadSingleQuantities(ColumnStatistics columns, int firstColumn, ValueChoice choice, Span<double> quantities, ValueBasis basis)
    {
        ReadOnlySpan<ushort> codes = SingleCodes(columns, choice.Detector).Slice(firstColumn, quantities.Length);
        ReadOnlySpan<long> counts = columns.Counts.Slice(firstColumn, quantities.Length);
        AveragingDomain domain = DomainOf(choice);
        for (int i = 0; i < quantities.Length; i++)
        {
            if (counts[i] == 0) quantities[i] = double.NaN;
            else if (basis == ValueBasis.Codes) quantities[i] = codes[i];
            else if (basis == ValueBasis.RatioSquares) quantities[i] = Square(RatioOf(codes[i]));
            else if (_converter.Tables[(int)domain] is { } table) quantities[i] = table.QuantityOf(_converter.LevelsOfCodes[codes[i]]);
            else quantities[i] = QuantityOfPlain(_converter.LevelsOfCodes[codes[i]], domain);
        }
    }

    private void ReadMeans(ColumnStatistics columns, int firstColumn, Span<double> quantities, ValueBasis basis)
    {
        ReadOnlySpan<long> counts = columns.Counts.Slice(firstColumn, quantities.Length);
        ReadOnlySpan<long> sums = columns.CodeSums.Slice(firstColumn, quantities.Length);
        ReadOnlySpan<UInt128> squares = columns.CodeSquareSums.Slice(firstColumn, quantities.Length);
        double perCode = basis switch
        {
            ValueBasis.VoltSquares => (_converter.VoltsOf(_converter.FullCode) - _converter.VoltsOf(0)) / _converter.FullCode,
            ValueBasis.RatioSquares => (RatioOf(_converter.FullCode) - RatioOf(0)) / _converter.FullCode,
            _ => 1,
        };
        for (int i = 0; i < quantities.Length; i++)
        {
            if (counts[i] == 0)
            {
                quantities[i] = double.NaN;
                continue;
            }

            double mean = (double)sums[i] / counts[i];
            quantities[i] = basis switch
            {
                ValueBasis.Codes => mean,
                ValueBasis.CodeSquares => (double)squares[i] / counts[i],
                // Mean square = squared mean + variance. The variance comes from integers without loss, so an output that rests
                // near 0 V on a wide converter is not the difference of two large numbers.
                ValueBasis.VoltSquares => Square(_converter.VoltsOf(mean)) + (Square(perCode) * Variance(counts[i], sums[i], squares[i])),
                ValueBasis.RatioSquares => Square(RatioOf(mean)) + (Square(perCode) * Variance(counts[i], sums[i], squares[i])),
                _ => throw new UnreachableException(),
            };
        }
    }

    // In codes squared. Exact up to 2^47 scans: count * squares stays below 2^128.
    private static double Variance(long count, long sum, UInt128 squares)
    {
        UInt128 n = (UInt128)count;
        if (count < 1L << 47) return (double)((n * squares) - ((UInt128)sum * (UInt128)sum)) / count / count;
        double mean = (double)sum / count;
        return Math.Max(0, ((double)squares / count) - (mean * mean));
    }

    private double RatioOf(double code) => _converter.RatioOfVolts(_converter.VoltsOf(code));

    private static double Square(double x) => x * x;

    private static double QuantityOfPlain(double levelDb, AveragingDomain domain) => domain switch
    {
        AveragingDomain.Level => levelDb,
        AveragingDomain.Voltage => Math.Pow(10, levelDb / 20),
        _ => Math.Pow(10, levelDb / 10),
    };

    private static double LevelOfPlain(double quantity, AveragingDomain domain) => domain switch
    {
        AveragingDomain.Level => quantity,
        AveragingDomain.Voltage => 20 * Math.Log10(quantity),
        _ => 10 * Math.Log10(quantity),
    };
}
