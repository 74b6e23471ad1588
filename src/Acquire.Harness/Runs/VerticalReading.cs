using Acquire.Columns;
using Acquire.Harness.Shell;
using Acquire.Scales;
using Acquire.Traces;

namespace Acquire.Harness.Runs;

/// <summary>How the columns of one vertical are read: its channel, its scale, the unit and the averages' domain asked for.</summary>
internal sealed class VerticalReading
{
    private readonly ColumnValues _values;
    private readonly AveragingDomain? _domain;

    private VerticalReading(int channel, VerticalConverter converter, ValueUnit unit, AveragingDomain? domain)
    {
        Channel = channel;
        Unit = unit;
        // Beside the vertical that is measured there may be others, without levels: in codes and volts there is one mean only.
        _domain = unit == ValueUnit.Level ? domain : null;
        _values = new ColumnValues(converter);
    }

    /// <summary>Index of the channel in the recording.</summary>
    public int Channel { get; }

    /// <summary>Unit of values.</summary>
    public ValueUnit Unit { get; }

    /// <summary>Name of the unit as printed.</summary>
    public string UnitName => NameOf(Unit, _values.Converter.Scale);

    /// <summary>The values' reader.</summary>
    public ColumnValues Values => _values;

    /// <summary>One reading per vertical.</summary>
    /// <param name="setup">Setup of the run, with the domains that <see cref="WithDomains"/> added.</param>
    /// <param name="unit">Unit asked for, or null: the best that each vertical has.</param>
    /// <param name="domain">Domain of averages in level, or null: each vertical's own.</param>
    public static VerticalReading[] Of(Setup setup, ValueUnit? unit, AveragingDomain? domain = null) =>
        [.. setup.Scan.VerticalChannels.Select((channel, vertical) =>
        {
            VerticalScale scale = setup.VerticalScaleOf(vertical);
            return new VerticalReading(channel, new VerticalConverter(scale, setup.Scan.FullCode, setup.Columns.Domains), UnitOf(scale, unit, channel), domain);
        })];

    /// <summary>The setup with the averaging domains that reading these detectors needs: a mean can only be had of sums that were kept.</summary>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="unit">Unit asked for, or null.</param>
    /// <param name="detectors">Detectors that will be read.</param>
    /// <param name="domain">Domain of averages, or null: each vertical's own.</param>
    public static Setup WithDomains(Setup setup, ValueUnit? unit, IEnumerable<Detector> detectors, AveragingDomain? domain)
    {
        HashSet<AveragingDomain> domains = [.. setup.Columns.Domains];
        foreach (VerticalReading reading in Of(setup, unit))
        {
            foreach (Detector detector in detectors)
            {
                if (reading._values.Check(new ValueChoice(detector, reading.Unit, DomainFor(detector, domain))) == ValueAvailability.DomainNotAsked)
                    domains.Add(detector == Detector.Rms ? AveragingDomain.Power : domain ?? reading._values.Converter.OwnDomain);
            }
        }

        return domains.Count == setup.Columns.Domains.Count ? setup : setup with { Columns = setup.Columns with { Domains = [.. domains.Order()] } };
    }

    /// <summary>Reads one value per column, NaN where unfilled.</summary>
    /// <param name="columns">Columns of this vertical.</param>
    /// <param name="detector">How the scans of a column become one value.</param>
    /// <param name="values">One entry per column.</param>
    public ValueAvailability Read(ColumnStatistics columns, Detector detector, Span<double> values) =>
        _values.Read(columns, ChoiceOf(detector), values);

    /// <summary>Whether a detector's values can be had of columns.</summary>
    /// <param name="columns">Columns of this vertical.</param>
    /// <param name="detector">How the scans of a column become one value.</param>
    public ValueAvailability Check(ColumnStatistics columns, Detector detector) => _values.Check(ChoiceOf(detector), columns);

    /// <summary>The code that each column's single reading has.</summary>
    /// <param name="columns">Columns of this vertical; of an unfilled one the code has no meaning.</param>
    /// <param name="detector">Peak, minimum or sample: the others are means.</param>
    public ReadOnlySpan<ushort> CodesOf(ColumnStatistics columns, Detector detector)
    {
        if (detector == Detector.Sample) return columns.LastCodes;
        return detector == Detector.Peak == _values.Converter.CodesRiseOnScreen ? columns.HighestCodes : columns.LowestCodes;
    }

    /// <summary>The domain that goes with a detector: RMS is always power, and single readings have none.</summary>
    public static AveragingDomain? DomainFor(Detector detector, AveragingDomain? domain) =>
        detector == Detector.Average ? domain : null;

    private ValueChoice ChoiceOf(Detector detector) => new(detector, Unit, DomainFor(detector, _domain));

    private static ValueUnit UnitOf(VerticalScale scale, ValueUnit? asked, int channel)
    {
        if (asked == ValueUnit.Volts && scale.Volts is null)
            throw CommandFailure.Usage("--unit V", $"nothing says what volts the codes of channel {channel} are; add --vertical-volts");
        if (asked == ValueUnit.Level && scale.Volts is null)
            throw CommandFailure.Usage("--unit level", $"nothing says what volts the codes of channel {channel} are; add --vertical-volts and --level");
        if (asked == ValueUnit.Level && scale.Level.Count == 0)
            throw CommandFailure.Usage("--unit level", $"nothing says what levels the volts of channel {channel} are; add --level");
        return asked ?? (scale.Volts is null ? ValueUnit.Code : scale.Level.Count == 0 ? ValueUnit.Volts : ValueUnit.Level);
    }

    private static string NameOf(ValueUnit unit, VerticalScale scale) => unit switch
    {
        ValueUnit.Code => "code",
        ValueUnit.Volts => "V",
        _ => scale.LevelUnit,
    };
}
