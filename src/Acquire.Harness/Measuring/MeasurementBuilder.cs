using Acquire.Columns;
using Acquire.Harness.Output;
using Acquire.Harness.Replay;
using Acquire.Harness.Runs;
using Acquire.Harness.Shell;
using Acquire.Recordings;
using Acquire.Traces;

namespace Acquire.Harness.Measuring;

/// <summary>Makes a measurement of a trace as taken: less the reference, with doubts, markers and widths.</summary>
internal static class MeasurementBuilder
{
    /// <summary>Makes the measurement.</summary>
    /// <param name="choices">What was asked for.</param>
    /// <param name="setup">Setup of the run.</param>
    /// <param name="vertical">0 is the first vertical.</param>
    /// <param name="reading">How the vertical is read.</param>
    /// <param name="taken">The trace.</param>
    /// <param name="reference">The reference, or null.</param>
    /// <param name="floor">The floor, or null where nobody knows it.</param>
    /// <param name="setupOfAll">The setup file that was named for every recording of the run, or null where each has its own.</param>
    /// <param name="notes">What a reader should know of the run.</param>
    /// <exception cref="CommandFailure">The reference or the floor does not fit.</exception>
    public static Measurement Build(
        ReplayChoices choices, Setup setup, int vertical, VerticalReading reading, TakenTrace taken, TakenTrace? reference, TraceFloor? floor,
        string? setupOfAll, IEnumerable<string> notes)
    {
        TraceNormaliser normaliser = Bind(taken.Conditions, reference, floor, choices.ReferenceOffsetDb);
        // An offset belongs to a difference that somebody stated. Without one it would be left out, and the result be off by it.
        if (choices.ReferenceOffsetDb is { } offset && offset != normaliser.Check.OffsetDb) throw NothingDiffers(choices, setupOfAll);
        double[] values = new double[taken.Values.Length];
        ReadingDoubts[] doubts = new ReadingDoubts[values.Length];
        normaliser.Apply(taken.Values, taken.Marks, values, doubts);
        double[] positions = [.. Enumerable.Range(0, values.Length).Select(column => Positions.Of(setup.Axis, taken.Last.Axis!, column))];
        double? shoulder = choices.ShoulderDb ?? (reference is null ? null : 0);
        return new Measurement
        {
            Axis = setup.Axis,
            VerticalChannel = setup.Scan.VerticalChannels.Count > 1 ? reading.Channel : null,
            SweepsUsed = taken.SweepsUsed,
            LastSweepNumber = taken.Last.Info.Number,
            ReferenceSweepsUsed = reference?.SweepsUsed,
            ReferenceOffsetDb = normaliser.Check.OffsetDb,
            // Of a sweep that was cut nobody knows how long it would have been.
            SweepTimeSeconds = taken.Last.Info.Complete ? taken.SweepScans / setup.Scan.ScanRateHz : null,
            Unit = reference is null ? reading.UnitName : normaliser.Divides ? "ratio" : "dB",
            Detector = WordNames.Of(choices.Detector),
            Domain = WordNames.DomainOf(taken.Conditions.Choice, reading.Values.Converter),
            Placement = WordNames.PlacementOf(taken.Last.Info),
            SettlingColumns = taken.Last.Info.SettlingColumns,
            Positions = positions,
            Values = values,
            Lowest = OfOneSweep(Detector.Minimum, vertical, reading, taken, reference),
            Highest = OfOneSweep(Detector.Peak, vertical, reading, taken, reference),
            Trusted = TrustedOf(doubts, values),
            AtOrBelow = floor is null ? null : AtOrBelowOf(doubts),
            Counts = taken.Counts,
            Markers = MarkerPlacement.Place(choices.Markers, setup.Axis, positions, values),
            Bandwidths = [.. choices.BandwidthsDb.Select(level => MarkerPlacement.Width(level, shoulder, positions, values))],
            Notes = [.. notes, .. normaliser.Check.Issues.Select(issue => issue.Text)],
        };
    }

    /// <summary>What speaks against the columns of a trace that is under way.</summary>
    /// <param name="trace">The trace.</param>
    /// <param name="values">Its values.</param>
    /// <param name="conditions">What it is taken with.</param>
    /// <param name="reading">How the vertical is read.</param>
    /// <param name="floor">The floor, or null where nobody knows it.</param>
    /// <exception cref="CommandFailure">The floor does not fit.</exception>
    public static ReadingDoubts[] DoubtsOf(Trace trace, double[] values, TraceConditions conditions, VerticalReading reading, TraceFloor? floor)
    {
        ColumnMarks[] marks = trace.Marks.ToArray();
        for (int column = 0; column < marks.Length; column++)
            if (reading.Values.IsAtRail(trace.Columns, column, conditions.Choice.Detector)) marks[column] |= ColumnMarks.AtRail;
        ReadingDoubts[] doubts = new ReadingDoubts[values.Length];
        Bind(conditions, reference: null, floor, offsetDb: null).Apply(values, marks, new double[values.Length], doubts);
        return doubts;
    }

    /// <summary>Which columns are trusted. Without input a linear scale has no level: nothing is there to be trusted.</summary>
    public static bool[] TrustedOf(ReadingDoubts[] doubts, double[] values) => [.. doubts.Zip(values, (doubt, value) => doubt == ReadingDoubts.None && double.IsFinite(value))];

    /// <summary>Which columns are at the floor or below it.</summary>
    public static bool[] AtOrBelowOf(ReadingDoubts[] doubts) => [.. doubts.Select(doubt => doubt.HasFlag(ReadingDoubts.AtOrBelowFloor))];

    private static double[]? OfOneSweep(Detector detector, int vertical, VerticalReading reading, TakenTrace taken, TakenTrace? reference)
    {
        if (taken.SweepsUsed > 1 || reference is not null) return null;
        double[] values = new double[taken.Values.Length];
        reading.Read(taken.Last.Verticals[vertical], detector, values);
        return values;
    }

    private static TraceNormaliser Bind(TraceConditions conditions, TakenTrace? reference, TraceFloor? floor, double? offsetDb)
    {
        TraceNormaliser normaliser;
        try
        {
            normaliser = new TraceNormaliser(conditions, reference?.ToReference(), floor, offsetDb);
        }
        catch (ArgumentException exception)
        {
            bool ofFloor = floor is not null && !floor.Check(conditions).IsUsable;
            bool allowable = !ofFloor && offsetDb is null && reference is not null && reference.ToReference().Check(conditions, 0).IsUsable;
            throw CommandFailure.Usage(ofFloor ? "--floor" : "--reference", allowable ? $"{exception.Message.TrimEnd('.')}, with --reference-offset DB" : exception.Message);
        }

        return normaliser;
    }

    private static CommandFailure NothingDiffers(ReplayChoices choices, string? setupOfAll)
    {
        string away = setupOfAll is null ? "" : $"leave --setup away, since {setupOfAll} then holds for both, and ";
        return CommandFailure.Usage("--reference-offset", "no instrument setting that both recordings state differs, so there is nothing to allow; "
            + $"{away}state what differs in both setups, such as \"settings\": {{ \"attenuationDb\": 20 }} in {SetupFile.NameBeside(choices.Recording)} "
            + $"and 10 in {SetupFile.NameBeside(choices.Reference!)}, or leave the offset away");
    }
}
