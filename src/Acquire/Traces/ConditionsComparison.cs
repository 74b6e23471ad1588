using System.Globalization;
using Acquire.Scales;

namespace Acquire.Traces;

/// <summary>Compares the conditions of a reading with those of a reference or a floor.</summary>
internal sealed class ConditionsComparison
{
    // Two ways of writing one setting ("5 kHz", "0.005 MHz") may differ in their last bit; two settings that a knob can tell apart do not.
    private const double SameSetting = 1e-9;

    private readonly List<ReferenceIssue> _refusing = [];
    private readonly List<ReferenceIssue> _allowable = [];
    private readonly List<ReferenceIssue> _warning = [];
    private readonly List<string> _unknown = [];
    private readonly double? _allowedOffsetDb;
    private readonly string _other;

    private ConditionsComparison(double? allowedOffsetDb, string other)
    {
        _allowedOffsetDb = allowedOffsetDb;
        _other = other;
    }

    /// <param name="reading">Conditions of the reading.</param>
    /// <param name="kept">Conditions of the reference or floor.</param>
    /// <param name="allowedOffsetDb">Not null: different settings are allowed with this offset.</param>
    /// <param name="other">What the kept trace is called in texts.</param>
    public static ReferenceCheck Compare(TraceConditions reading, TraceConditions kept, double? allowedOffsetDb, string other)
    {
        var comparison = new ConditionsComparison(allowedOffsetDb, other);
        comparison.CompareValues(reading, kept);
        comparison.CompareAxes(reading, kept);
        comparison.CompareSettings(reading.Settings, kept.Settings);
        return comparison.Conclude();
    }

    private ReferenceCheck Conclude()
    {
        if (_unknown.Count > 0)
        {
            _warning.Add(new(
                ReferenceIssueKind.Unknown, Refuses: false,
                $"Not stated for the reading, the {_other} or both: {string.Join(", ", _unknown)}; nobody can tell whether they were the same. State them in both setups."));
        }

        bool allowed = _allowable.Count > 0 && _allowedOffsetDb is not null;
        foreach (ReferenceIssue issue in _allowable)
            (allowed ? _warning : _refusing).Add(issue with { Refuses = !allowed });
        ReferenceVerdict verdict = _refusing.Count > 0 ? ReferenceVerdict.Refused
            : allowed ? ReferenceVerdict.Allowed
            : _warning.Count > 0 ? ReferenceVerdict.Unsure
            : ReferenceVerdict.Agrees;
        return new ReferenceCheck(verdict, [.. _refusing, .. _warning], allowed ? _allowedOffsetDb!.Value : 0);
    }

    private void CompareValues(TraceConditions reading, TraceConditions kept)
    {
        if (reading.Choice != kept.Choice)
            Refuse(ReferenceIssueKind.Choice, $"The reading is {Name(reading.Choice)}, the {_other} {Name(kept.Choice)}; take both with the same detector, unit and domain.");
        if (reading.Placement != kept.Placement)
            Refuse(ReferenceIssueKind.Placement, $"The reading was placed {reading.Placement}, the {_other} {kept.Placement}; take both with the same placement.");
        if (reading.FullCode != kept.FullCode || !SameScale(reading.Scale, kept.Scale))
            Refuse(ReferenceIssueKind.Scale, $"The vertical's scale or its bits are not those of the {_other}; take both with the same scale.");
    }

    private void CompareAxes(TraceConditions reading, TraceConditions kept)
    {
        if (reading.Axis.ColumnCount != kept.Axis.ColumnCount)
        {
            Refuse(ReferenceIssueKind.Grid, $"The reading has {reading.Axis.ColumnCount} columns, the {_other} {kept.Axis.ColumnCount}; take both with the same number.");
            return;
        }

        if (reading.Axis.StartsHigh != kept.Axis.StartsHigh)
        {
            Refuse(ReferenceIssueKind.Grid, $"The reading and the {_other} start at opposite ends of the ramp; take both with the same ramp direction.");
            return;
        }

        if (reading.Axis.Provisional || kept.Axis.Provisional)
        {
            Refuse(ReferenceIssueKind.Edges, "The edges on the ramp are not learnt yet; wait for a whole sweep, or give the edges.");
            return;
        }

        CompareEdges(reading, kept);
        CompareSweepAxes(reading, kept);
    }

    private void CompareEdges(TraceConditions reading, TraceConditions kept)
    {
        bool inVolts = reading.RampVolts is not null && kept.RampVolts is not null;
        if (reading.RampVolts is null != kept.RampVolts is null) _unknown.Add("ramp volts");
        (double low, double high) = Edges(reading, inVolts);
        (double keptLow, double keptHigh) = Edges(kept, inVolts);
        double quarter = Math.Abs(high - low) / reading.Axis.ColumnCount / 4;
        double apart = Math.Max(Math.Abs(low - keptLow), Math.Abs(high - keptHigh));
        if (apart <= quarter) return;
        string unit = inVolts ? "V" : "codes";
        Refuse(
            ReferenceIssueKind.Edges,
            Text($"The edges are {low:G6} and {high:G6} {unit} for the reading, {keptLow:G6} and {keptHigh:G6} {unit} for the {_other}: {apart / quarter / 4:G3} columns apart; a quarter is allowed. Give both the same edges."));
    }

    // Low and high edge; the full code of the ramp is that of the vertical, since all channels of a scan have the same bits.
    private static (double Low, double High) Edges(TraceConditions conditions, bool inVolts)
    {
        if (!inVolts) return (conditions.Axis.LowCode, conditions.Axis.HighCode);
        CodeVolts volts = conditions.RampVolts!;
        return (volts.VoltsOf(conditions.Axis.LowCode, conditions.FullCode), volts.VoltsOf(conditions.Axis.HighCode, conditions.FullCode));
    }

    private void CompareSweepAxes(TraceConditions reading, TraceConditions kept)
    {
        if (reading.SweepAxis is not { } axis || kept.SweepAxis is not { } keptAxis)
        {
            _unknown.Add("frequencies along the axis");
            return;
        }

        if (!string.Equals(axis.Unit, keptAxis.Unit, StringComparison.Ordinal))
        {
            Refuse(ReferenceIssueKind.SweepAxis, $"The axis is in {axis.Unit} for the reading, in {keptAxis.Unit} for the {_other}; take both over the same axis.");
            return;
        }

        int columns = reading.Axis.ColumnCount;
        double quarter = Math.Abs(axis.End - axis.Start) / columns / 4;
        double apart = 0;
        for (int edge = 0; edge <= columns; edge++)
        {
            double fraction = (double)edge / columns;
            apart = Math.Max(apart, Math.Abs(axis.ValueAt(fraction) - keptAxis.ValueAt(fraction)));
        }

        if (apart <= quarter) return;
        Refuse(
            ReferenceIssueKind.SweepAxis,
            Text($"The axis runs from {axis.Start:G6} to {axis.End:G6} {axis.Unit} for the reading, from {keptAxis.Start:G6} to {keptAxis.End:G6} {axis.Unit} for the {_other}: up to {apart:G4} {axis.Unit} apart; a quarter column, {quarter:G4} {axis.Unit}, is allowed. Take both over the same axis."));
    }

    private void CompareSettings(InstrumentSettings reading, InstrumentSettings kept)
    {
        if (reading.Instrument is null || kept.Instrument is null) _unknown.Add("instrument");
        else if (!string.Equals(reading.Instrument, kept.Instrument, StringComparison.Ordinal))
            Allowable(ReferenceIssueKind.Instrument, $"The instrument is {reading.Instrument} for the reading, {kept.Instrument} for the {_other}");

        CompareSetting(ReferenceIssueKind.Centre, "centre", "Hz", reading.CentreHz, kept.CentreHz);
        CompareSetting(ReferenceIssueKind.Span, "span", "Hz", reading.SpanHz, kept.SpanHz);
        CompareSetting(ReferenceIssueKind.ResolutionBandwidth, "resolution bandwidth", "Hz", reading.ResolutionBandwidthHz, kept.ResolutionBandwidthHz);
        CompareSetting(ReferenceIssueKind.VideoBandwidth, "video bandwidth", "Hz", reading.VideoBandwidthHz, kept.VideoBandwidthHz);
        CompareSetting(ReferenceIssueKind.ReferenceLevel, "reference level", "dB", reading.ReferenceLevelDb, kept.ReferenceLevelDb);
        CompareSetting(ReferenceIssueKind.Attenuation, "attenuation", "dB", reading.AttenuationDb, kept.AttenuationDb);
        CompareSetting(ReferenceIssueKind.SweepTime, "sweep time", "s", reading.SweepTimeSeconds, kept.SweepTimeSeconds);
        foreach ((string name, string value) in reading.More)
        {
            if (kept.More.TryGetValue(name, out string? other) && !string.Equals(value, other, StringComparison.Ordinal))
                _warning.Add(new(ReferenceIssueKind.More, Refuses: false, $"{name} is {value} for the reading, {other} for the {_other}."));
        }
    }

    private void CompareSetting(ReferenceIssueKind kind, string name, string unit, double? reading, double? kept)
    {
        if (reading is not { } a || kept is not { } b)
        {
            _unknown.Add(name);
            return;
        }

        if (Math.Abs(a - b) <= SameSetting * Math.Max(Math.Abs(a), Math.Abs(b))) return;
        Allowable(kind, Text($"The {name} is {a:G9} {unit} for the reading, {b:G9} {unit} for the {_other}"));
    }

    private void Allowable(ReferenceIssueKind kind, string difference)
    {
        string text = difference + (_allowedOffsetDb is { } offset
            ? Text($"; allowed with a level offset of {offset:G6} dB.")
            : "; take both with the same setting, or allow the difference and state the level offset that it makes.");
        _allowable.Add(new(kind, Refuses: true, text));
    }

    private void Refuse(ReferenceIssueKind kind, string text) => _refusing.Add(new(kind, Refuses: true, text));

    private static bool SameScale(VerticalScale a, VerticalScale b) =>
        a.Law == b.Law && a.Up == b.Up && a.Volts == b.Volts && (a.Law == VerticalLaw.Logarithmic || a.ZeroVolts == b.ZeroVolts)
        && string.Equals(a.LevelUnit, b.LevelUnit, StringComparison.Ordinal)
        && a.Level.OrderBy(p => p.Volts).SequenceEqual(b.Level.OrderBy(p => p.Volts));

    private static string Name(ValueChoice choice) =>
        choice.Domain is { } domain ? $"{choice.Detector} in {choice.Unit}, {domain} domain" : $"{choice.Detector} in {choice.Unit}";

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
