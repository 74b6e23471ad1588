using System.Diagnostics;
using System.Numerics;
using System.Runtime.InteropServices;
using Acquire.Columns;
using Acquire.Scales;

namespace Acquire.Traces;

/// <content>The quantities behind the values: what may be averaged over scans and sweeps.</content>
public sealed partial class ColumnValues
{
    /// <summary>Reads quantities that may be averaged over sweeps, and from which <see cref="ValueOf"/> makes values.</summary>
    internal ValueAvailability ReadQuantities(
        ColumnStatistics columns, int firstColumn, ValueChoice choice, Span<double> quantities, out ValueBasis basis)
    {
        basis = default;
        ValueAvailability availability = Check(choice, columns);
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
            _converter.Tables[(int)domain]!.MeansOf(
                columns.DomainSums(domain).Slice(firstColumn, quantities.Length), columns.Counts.Slice(firstColumn, quantities.Length), quantities);
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
                return _converter.LevelOfSquare(quantity);
            default:
                AveragingDomain domain = DomainOf(choice);
                return _converter.Tables[(int)domain] is { } table ? table.LevelOf(quantity) : LevelOfPlain(quantity, domain);
        }
    }

    /// <summary>Replaces quantities by their values; NaN stays.</summary>
    internal void ReadValues(Span<double> values, ValueBasis basis, ValueChoice choice)
    {
        if (basis == ValueBasis.Codes && choice.Unit == ValueUnit.Code) return;
        if (basis == ValueBasis.Domain && _converter.Tables[(int)DomainOf(choice)] is { } table)
        {
            table.MakeLevels(values);
            return;
        }

        if (basis == ValueBasis.Codes)
        {
            if (choice.Unit == ValueUnit.Level) _converter.MakeLevels(values);
            else _converter.MakeVolts(values);
            return;
        }

        if (basis == ValueBasis.RatioSquares)
        {
            _converter.MakeLevelsOfSquares(values);
            return;
        }

        foreach (ref double value in values)
            if (!double.IsNaN(value)) value = ValueOf(value, basis, choice);
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

    private bool NeedsTable(ValueChoice choice) =>
        choice.Detector is Detector.Average or Detector.Rms && BasisOf(choice) == ValueBasis.Domain;

    private ValueBasis BasisOf(ValueChoice choice)
    {
        bool rms = choice.Detector == Detector.Rms;
        if (choice.Unit == ValueUnit.Code) return rms ? ValueBasis.CodeSquares : ValueBasis.Codes;
        if (choice.Unit == ValueUnit.Volts) return rms ? ValueBasis.VoltSquares : ValueBasis.Codes;
        AveragingDomain domain = DomainOf(choice);
        if (domain == _converter.OwnDomain && _converter.OwnDomainIsStraight) return ValueBasis.Codes;
        return _converter.Scale.Law == VerticalLaw.Voltage && domain == AveragingDomain.Power ? ValueBasis.RatioSquares : ValueBasis.Domain;
    }

    /// <summary>How the values of single readings go with their codes: 1 with them, -1 against them, 0 neither or no single readings.</summary>
    internal int OrderByCode(ValueChoice choice)
    {
        if (choice.Detector is Detector.Average or Detector.Rms) return 0;
        return choice.Unit switch
        {
            ValueUnit.Code => 1,
            ValueUnit.Volts => _converter.VoltsRiseOnScreen == _converter.CodesRiseOnScreen ? 1 : -1,
            _ => _converter.LevelsByCode,
        };
    }

    /// <summary>The code of each column's single reading.</summary>
    internal ReadOnlySpan<ushort> SingleCodes(ColumnStatistics columns, Detector detector)
    {
        if (detector == Detector.Sample) return columns.LastCodes;
        return detector == Detector.Peak == _converter.CodesRiseOnScreen ? columns.HighestCodes : columns.LowestCodes;
    }

    private void ReadSingles(ColumnStatistics columns, int firstColumn, ValueChoice choice, Span<double> values)
    {
        ReadOnlySpan<ushort> codes = SingleCodes(columns, choice.Detector).Slice(firstColumn, values.Length);
        ReadOnlySpan<long> counts = columns.Counts.Slice(firstColumn, values.Length);
        ReadOnlySpan<double> levels = _converter.LevelsOfCodes;
        if (choice.Unit == ValueUnit.Level)
        {
            for (int i = 0; i < values.Length; i++) values[i] = counts[i] == 0 ? double.NaN : levels[codes[i]];
            return;
        }

        for (int i = 0; i < values.Length; i++) values[i] = counts[i] == 0 ? double.NaN : OfCode(codes[i], choice.Unit);
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
        if (basis == ValueBasis.Codes)
        {
            ReadCodeMeans(counts, sums, quantities);
            return;
        }

        ReadMeanSquares(counts, sums, columns.CodeSquareSums.Slice(firstColumn, quantities.Length), quantities, basis);
    }

    private static void ReadCodeMeans(ReadOnlySpan<long> counts, ReadOnlySpan<long> sums, Span<double> means)
    {
        ref long count0 = ref MemoryMarshal.GetReference(counts), sum0 = ref MemoryMarshal.GetReference(sums);
        ref double mean0 = ref MemoryMarshal.GetReference(means);
        int i = 0;
        for (; i <= means.Length - Vector<double>.Count; i += Vector<double>.Count)
        {
            Vector<long> count = Vector.LoadUnsafe(ref count0, (nuint)i);
            Vector<double> mean = Vector.ConvertToDouble(Vector.LoadUnsafe(ref sum0, (nuint)i)) / Vector.ConvertToDouble(count);
            Vector.ConditionalSelect(Vector.Equals(count, Vector<long>.Zero), new Vector<double>(double.NaN), mean).StoreUnsafe(ref mean0, (nuint)i);
        }

        for (; i < means.Length; i++) means[i] = counts[i] == 0 ? double.NaN : (double)sums[i] / counts[i];
    }

    private double RatioOf(double code) => _converter.RatioOfVolts(_converter.VoltsOf(code));

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
