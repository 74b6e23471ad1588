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
public sealed partial class ColumnValues
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
    /// <exception cref="ArgumentOutOfRangeException">Detector, unit or domain is a number without a name.</exception>
    public ValueAvailability Check(ValueChoice choice)
    {
        if (choice is not { Detector: >= Detector.Peak and <= Detector.Sample, Unit: >= ValueUnit.Code and <= ValueUnit.Level })
            throw new ArgumentOutOfRangeException(nameof(choice), choice, $"The choice is {choice}; detector and unit must each be one of those that there are.");
        if (choice.Domain is { } chosen) AveragingDomains.ThrowIfUnnamed(chosen, nameof(choice));
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

        return NeedsTable(choice) && _converter.Tables[(int)DomainOf(choice)] is null
            ? ValueAvailability.DomainNotAsked
            : ValueAvailability.Available;
    }

    /// <summary>Whether a choice can be had of given columns, and if not, why.</summary>
    /// <param name="choice">Detector, unit and domain.</param>
    /// <param name="columns">Columns, which may have been kept without a domain that the scale has.</param>
    /// <exception cref="ArgumentOutOfRangeException">Detector, unit or domain is a number without a name.</exception>
    public ValueAvailability Check(ValueChoice choice, ColumnStatistics columns)
    {
        ArgumentNullException.ThrowIfNull(columns);
        ValueAvailability availability = Check(choice);
        if (availability != ValueAvailability.Available) return availability;
        return NeedsTable(choice) && !columns.Has(DomainOf(choice)) ? ValueAvailability.DomainNotAsked : availability;
    }

    /// <summary>Reads every column.</summary>
    /// <param name="columns">Columns of this vertical.</param>
    /// <param name="choice">Detector, unit and domain.</param>
    /// <param name="values">Gets one value per column, NaN where unfilled; at least as long as there are columns. Untouched unless available.</param>
    /// <returns>Whether the values could be had.</returns>
    /// <exception cref="ArgumentException">There is not room for one value per column, or the choice has a number without a name; nothing was written.</exception>
    public ValueAvailability Read(ColumnStatistics columns, ValueChoice choice, Span<double> values)
    {
        ArgumentNullException.ThrowIfNull(columns);
        if (values.Length < columns.ColumnCount)
            throw new ArgumentException($"Room for {values.Length} values but there are {columns.ColumnCount} columns; give one value per column.", nameof(values));
        return Read(columns, 0, choice, values[..columns.ColumnCount]);
    }

    /// <summary>Reads some columns.</summary>
    /// <param name="columns">Columns of this vertical.</param>
    /// <param name="firstColumn">Column of the first value, 0 or more.</param>
    /// <param name="choice">Detector, unit and domain.</param>
    /// <param name="values">Gets one value per column from the first on, NaN where unfilled; no longer than there are columns from there. Untouched unless available.</param>
    /// <returns>Whether the values could be had.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Not all of these columns are there, or the choice has a number without a name; nothing was written.</exception>
    public ValueAvailability Read(ColumnStatistics columns, int firstColumn, ValueChoice choice, Span<double> values)
    {
        ArgumentNullException.ThrowIfNull(columns);
        if (firstColumn < 0 || firstColumn > columns.ColumnCount - values.Length)
            throw new ArgumentOutOfRangeException(nameof(firstColumn), firstColumn, $"{values.Length} values are wanted from column {firstColumn} on, but there are {columns.ColumnCount} columns; ask for columns that are there.");
        ValueAvailability availability;
        if (choice.Detector is not (Detector.Average or Detector.Rms))
        {
            availability = Check(choice, columns);
            if (availability == ValueAvailability.Available) ReadSingles(columns, firstColumn, choice, values);
            return availability;
        }

        availability = ReadQuantities(columns, firstColumn, choice, values, out ValueBasis basis);
        if (availability != ValueAvailability.Available) return availability;
        ReadValues(values, basis, choice);
        return availability;
    }

    /// <summary>Whether the larger of two values is the higher one on the instrument's screen.</summary>
    /// <param name="choice">What the values are. RMS in volts has no sign: it rises on the screen when the top of the screen has the larger volts.</param>
    /// <returns>False in volts other than RMS where codes have none.</returns>
    /// <exception cref="InvalidOperationException">RMS in volts, where codes have none.</exception>
    public bool RisesOnScreen(ValueChoice choice)
    {
        if (choice.Unit == ValueUnit.Level) return true;
        if (choice.Unit == ValueUnit.Code) return _converter.CodesRiseOnScreen;
        if (choice.Detector != Detector.Rms) return _converter.VoltsRiseOnScreen;
        bool larger = Math.Abs(_converter.VoltsOf(_converter.FullCode)) > Math.Abs(_converter.VoltsOf(0));
        return larger == _converter.CodesRiseOnScreen;
    }

    /// <summary>What to say when a choice cannot be had.</summary>
    /// <param name="availability">What a check or a read returned.</param>
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

    /// <summary>Throws when a choice cannot be had.</summary>
    /// <exception cref="ArgumentException">It cannot; the message says why.</exception>
    internal static void Require(ColumnValues values, ValueChoice choice, ColumnStatistics? columns = null)
    {
        ValueAvailability availability = columns is null ? values.Check(choice) : values.Check(choice, columns);
        if (availability != ValueAvailability.Available) throw new ArgumentException(Explain(availability, choice));
    }
}
