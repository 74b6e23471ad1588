using Acquire.Columns;
using Acquire.Harness.Output;
using Acquire.Harness.Replay;
using Acquire.Harness.Runs;
using Acquire.Harness.Shell;
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
    /// <param name="notes">What a reader should know of the run.</param>
    /// <exception cref="CommandFailure">The reference or the floor does not fit.</exception>
    public static Measurement Build(
        ReplayChoices choices, Setup setup, int vertical, VerticalReading reading, TakenTrace taken, TakenTrace? reference, TraceFloor? floor,
        IEnumerable<string> notes)
    {
        TraceNormaliser normaliser = Bind(choices, taken.Conditions, reference, floor);
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
            // Without input a linear scale has no level: nothing is there to be trusted.
            Trusted = [.. doubts.Zip(values, (doubt, value) => doubt == ReadingDoubts.None && double.IsFinite(value))],
            AtOrBelow = floor is null ? null : [.. doubts.Select(doubt => doubt.HasFlag(ReadingDoubts.AtOrBelowFloor))],
            Counts = taken.Counts,
            Markers = MarkerPlacement.Place(choices.Markers, setup.Axis, positions, values),
            Bandwidths = [.. choices.BandwidthsDb.Select(level => MarkerPlacement.Width(level, shoulder, positions, values))],
            Notes = [.. notes, .. normaliser.Check.Issues.Select(issue => issue.Text)],
        };
    }

    private static double[]? OfOneSweep(Detector detector, int vertical, VerticalReading reading, TakenTrace taken, TakenTrace? reference)
    {
        if (taken.SweepsUsed > 1 || reference is not null) return null;
        double[] values = new double[taken.Values.Length];
        reading.Read(taken.Last.Verticals[vertical], detector, values);
        return values;
    }

    private static TraceNormaliser Bind(ReplayChoices choices, TraceConditions conditions, TakenTrace? reference, TraceFloor? floor)
    {
        TraceNormaliser normaliser;
        try
        {
            normaliser = new TraceNormaliser(conditions, reference?.ToReference(), floor, choices.ReferenceOffsetDb);
        }
        catch (ArgumentException exception)
        {
            bool ofFloor = floor is not null && !floor.Check(conditions).IsUsable;
            throw CommandFailure.Usage(ofFloor ? "--floor" : "--reference", exception.Message);
        }

        // An offset belongs to a difference that somebody stated. Without one it would be left out, and the result be off by it.
        if (choices.ReferenceOffsetDb is { } offset && offset != normaliser.Check.OffsetDb)
        {
            throw CommandFailure.Usage("--reference-offset", "no instrument setting that both recordings state differs, so there is nothing to allow; "
                + "state what differs under settings in both setups, or leave the offset away");
        }

        return normaliser;
    }
}
