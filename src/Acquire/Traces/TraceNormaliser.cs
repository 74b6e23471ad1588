using Acquire.Columns;
using Acquire.Scales;

namespace Acquire.Traces;

/// <summary>Applies a reference and a floor to readings: what the difference is, and what of it is to be trusted.</summary>
/// <remarks>
/// <para>Level: <c>reading - (reference + offset)</c>, in decibels. Volts of a linear vertical:
/// <c>(reading - zero) / ((reference - zero) 10^(offset/20))</c> for a law of voltage, 10^(offset/10) for power: a ratio.</para>
/// <para>A reading is trusted when reading and reference lie at least 10 dB above the floor, at no rail, are filled, not suspect and
/// not settling. Without a floor, nothing is known of it and the other rules stand alone; without a reference, values pass as they are.</para>
/// <para>Built for one pair of conditions; immutable; <see cref="Apply"/> allocates nothing and may be called from any thread.</para>
/// </remarks>
public sealed partial class TraceNormaliser
{
    /// <summary>Distance from the floor below which a reading is not trusted, in decibels: at 10 dB a tenth of its power is the floor,
    /// and it reads 0.46 dB high (10 log10(10/9)).</summary>
    public const double TrustedAboveFloorDb = 10;

    /// <summary>Distance from the floor below which a reading is shown as "at or below", in decibels: half of its power is floor.</summary>
    public const double AtOrBelowFloorDb = 3;

    private readonly bool _divides;
    private readonly double _zeroVolts;

    // Which way the volts go with more input: -1 where they fall. RMS volts have no sign, and rise.
    private readonly double _voltsWithInput;
    private readonly double _decibelsPerDecade;
    private readonly double[]? _reference;
    private readonly ReadingDoubts[]? _referenceDoubts;
    private readonly double[]? _floor;
    private readonly int _columnCount;

    /// <summary>Binds a reference and a floor to the conditions of readings.</summary>
    /// <param name="reading">Conditions of the readings to come.</param>
    /// <param name="reference">What to subtract or divide by; null leaves values as they are.</param>
    /// <param name="floor">The floor; null where nobody knows it.</param>
    /// <param name="allowedOffsetDb">Allows settings that differ (see <see cref="TraceReference.Check"/>).</param>
    /// <exception cref="ArgumentException">The reference or the floor is refused, the offset is not finite, or the values cannot be normalised; the message says why.</exception>
    public TraceNormaliser(TraceConditions reading, TraceReference? reference, TraceFloor? floor = null, double? allowedOffsetDb = null)
    {
        ArgumentNullException.ThrowIfNull(reading);
        Reading = reading;
        _columnCount = reading.Axis.ColumnCount;
        _divides = reading.Choice.Unit != ValueUnit.Level;
        _zeroVolts = (double)reading.Scale.ZeroVolts;
        bool rise = reading.Choice.Detector == Detector.Rms || reading.Scale.Volts is not { } volts
            || (volts.AtFullCode > volts.AtCodeZero) == (reading.Scale.Up == SignalUp.CodesRise);
        _voltsWithInput = rise ? 1 : -1;
        _decibelsPerDecade = reading.Scale.Law == VerticalLaw.Power ? 10 : 20;
        if ((reference is not null || floor is not null) && WhyNot(reading) is { } why) throw new ArgumentException(why);
        if (floor is not null) _floor = BindFloor(reading, floor);
        if (reference is null) return;

        Check = reference.Check(reading, allowedOffsetDb);
        if (!Check.IsUsable) throw new ArgumentException(Check.Issues[0].Text);
        double offsetDb = Check.OffsetDb;
        _reference = reference.Values.ToArray();
        _referenceDoubts = new ReadingDoubts[_columnCount];
        for (int c = 0; c < _columnCount; c++)
        {
            // The floor is that of the instrument as it was: before the offset.
            _referenceDoubts[c] = OfReference(DoubtsOf(_reference[c], reference.Marks[c], c));
            _reference[c] = _divides ? (_reference[c] - _zeroVolts) * Math.Pow(10, offsetDb / _decibelsPerDecade) : _reference[c] + offsetDb;
        }
    }

    /// <summary>Conditions that the readings must have.</summary>
    public TraceConditions Reading { get; }

    /// <summary>How reading and reference compare; agrees where there is no reference.</summary>
    public ReferenceCheck Check { get; } = new(ReferenceVerdict.Agrees, [], OffsetDb: 0);

    /// <summary>Whether values come out as ratios instead of decibels.</summary>
    public bool Divides => _divides && _reference is not null;

    /// <summary>Whether values can be normalised, and if not, why.</summary>
    /// <param name="reading">Conditions of a reading.</param>
    /// <returns>Null when they can; otherwise one sentence with the fix.</returns>
    public static string? WhyNot(TraceConditions reading)
    {
        ArgumentNullException.ThrowIfNull(reading);
        bool linear = reading.Scale.Law != VerticalLaw.Logarithmic;
        return reading.Choice.Unit switch
        {
            ValueUnit.Level => null,
            ValueUnit.Code => "Codes have no ratio; ask for level, or for volts of a linear vertical.",
            _ when !linear => "Volts of a logarithmic vertical have no ratio; ask for level.",
            _ when reading.Choice.Detector == Detector.Rms && reading.Scale.ZeroVolts != 0 =>
                $"RMS volts count from 0 V, but no input is at {reading.Scale.ZeroVolts} V; ask for level.",
            _ => null,
        };
    }

    /// <summary>Normalises readings.</summary>
    /// <param name="values">One value per column, NaN where unfilled.</param>
    /// <param name="marks">One mark per column, with <see cref="ColumnMarks.AtRail"/> where a reading is at a rail; empty for none.</param>
    /// <param name="results">Gets one value per column: decibels or ratios, NaN where the reading or the reference is unfilled. May be <paramref name="values"/>.</param>
    /// <param name="doubts">Gets why each is not to be trusted.</param>
    /// <exception cref="ArgumentException">A span does not fit the number of columns.</exception>
    public void Apply(ReadOnlySpan<double> values, ReadOnlySpan<ColumnMarks> marks, Span<double> results, Span<ReadingDoubts> doubts)
    {
        if (values.Length != _columnCount || (!marks.IsEmpty && marks.Length != _columnCount) || results.Length < _columnCount || doubts.Length < _columnCount)
        {
            throw new ArgumentException(
                $"There are {values.Length} values, {marks.Length} marks and room for {results.Length} results and {doubts.Length} doubts; give one of each per column, {_columnCount}.");
        }

        for (int c = Subtract(values, marks, results, doubts); c < _columnCount; c++)
        {
            double value = values[c];
            ReadingDoubts found = DoubtsOf(value, marks.IsEmpty ? ColumnMarks.None : marks[c], c);
            if (_reference is not null)
            {
                found |= _referenceDoubts![c];
                value = _divides ? (value - _zeroVolts) / _reference[c] : value - _reference[c];
                // A reference without input gives no number: there is no value. A reading without input is infinitely far down, as a level.
                if (double.IsNaN(value) || double.IsPositiveInfinity(value) || (_divides && double.IsInfinity(value)))
                {
                    value = double.NaN;
                    found |= ReadingDoubts.Unfilled;
                }
            }

            results[c] = value;
            doubts[c] = found;
        }
    }

    private static double[] BindFloor(TraceConditions reading, TraceFloor floor)
    {
        ReferenceCheck check = floor.Check(reading);
        if (!check.IsUsable) throw new ArgumentException(check.Issues[0].Text);
        var converter = new VerticalConverter(reading.Scale, reading.FullCode);
        if (floor.Trace is null && !converter.HasLevel)
            throw new ArgumentException("The floor is stated as a level, but the vertical has no level; give points of volts and level, or record the floor.");
        return floor.ValuesFor(reading, converter);
    }

    private static ReadingDoubts OfReference(ReadingDoubts doubts)
    {
        ReadingDoubts result = doubts & (ReadingDoubts.Unfilled | ReadingDoubts.Suspect);
        if ((doubts & ReadingDoubts.NearFloor) != ReadingDoubts.None) result |= ReadingDoubts.ReferenceNearFloor;
        if ((doubts & ReadingDoubts.AtRail) != ReadingDoubts.None) result |= ReadingDoubts.ReferenceAtRail;
        if ((doubts & ReadingDoubts.Settling) != ReadingDoubts.None) result |= ReadingDoubts.ReferenceSettling;
        return result;
    }

    private ReadingDoubts DoubtsOf(double value, ColumnMarks marks, int column)
    {
        if (double.IsNaN(value)) return ReadingDoubts.Unfilled;
        ReadingDoubts doubts = ReadingDoubts.None;
        if ((marks & ColumnMarks.AtRail) != ColumnMarks.None) doubts |= ReadingDoubts.AtRail;
        if ((marks & ColumnMarks.Suspect) != ColumnMarks.None) doubts |= ReadingDoubts.Suspect;
        if ((marks & ColumnMarks.Settling) != ColumnMarks.None) doubts |= ReadingDoubts.Settling;
        if (_floor is null) return doubts;
        double above = AboveFloorDb(value, _floor[column]);
        if (above < TrustedAboveFloorDb) doubts |= ReadingDoubts.NearFloor;
        if (above < AtOrBelowFloorDb) doubts |= ReadingDoubts.AtOrBelowFloor;
        return doubts;
    }

    private double AboveFloorDb(double value, double floor)
    {
        if (double.IsNaN(floor)) return double.NaN;
        // Equal ones may both be without input, minus infinity.
        if (!_divides) return value == floor ? 0 : value - floor;
        double input = (value - _zeroVolts) * _voltsWithInput, least = (floor - _zeroVolts) * _voltsWithInput;
        if (input <= 0) return double.NegativeInfinity;
        // A recorded floor that dips below no input there says nothing against a reading above it.
        return least <= 0 ? double.PositiveInfinity : _decibelsPerDecade * Math.Log10(input / least);
    }
}
