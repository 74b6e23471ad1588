using Acquire.Columns;
using Acquire.Scales;
using Acquire.Tests.Doubles;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Tests.Traces;

public class TraceNormaliserTests
{
    private const double Unfilled = double.NaN;

    private static TraceConditions Conditions(int columns, VerticalScale? scale = null, ValueUnit unit = ValueUnit.Level, Detector detector = Detector.Average) => new()
    {
        Choice = new(detector, unit),
        Scale = scale ?? Given.Logarithmic,
        FullCode = 4_095,
        Axis = new ColumnAxis(0, columns, 0, 4_000, StartsHigh: false, Learnt: false, Provisional: false),
    };

    private static (double[] Values, ReadingDoubts[] Doubts) Apply(TraceNormaliser normaliser, double[] values, params ColumnMarks[] marks)
    {
        double[] results = new double[values.Length];
        ReadingDoubts[] doubts = new ReadingDoubts[values.Length];
        normaliser.Apply(values, marks, results, doubts);
        return (results, doubts);
    }

    // A reading d decibels above the floor holds 10^(-d / 10) of it.
    [Fact]
    public void Limits_AboveTheFloor_AreATenthAndHalfOfThePower()
    {
        Assert.Equal(0.1, Math.Pow(10, -TraceNormaliser.TrustedAboveFloorDb / 10), 1e-12);
        Assert.Equal(0.5, Math.Pow(10, -TraceNormaliser.AtOrBelowFloorDb / 10), 0.002);
    }

    [Fact]
    public void Apply_Levels_SubtractsTheReference()
    {
        TraceConditions conditions = Conditions(3);
        var normaliser = new TraceNormaliser(conditions, new TraceReference(conditions, [-3, -4, Unfilled], [], 1));

        (double[] values, ReadingDoubts[] doubts) = Apply(normaliser, [-10, Unfilled, -10]);

        Assert.Equal([-7, Unfilled, Unfilled], values);
        Assert.Equal([ReadingDoubts.None, ReadingDoubts.Unfilled, ReadingDoubts.Unfilled], doubts);
        Assert.Equal(ReferenceVerdict.Unsure, normaliser.Check.Verdict);
        Assert.False(normaliser.Divides);
    }

    [Fact]
    public void Apply_VoltsOfALinearVertical_DividesAboveNoInput()
    {
        // No input is 0.095 V: 1.095 V over 2.095 V is a half.
        TraceConditions conditions = Conditions(2, Given.Voltage, ValueUnit.Volts);
        var normaliser = new TraceNormaliser(conditions, new TraceReference(conditions, [2.095, 0.095], [], 1));

        (double[] values, ReadingDoubts[] doubts) = Apply(normaliser, [1.095, 1.095]);

        Assert.True(normaliser.Divides);
        Assert.Equal(0.5, values[0], 1e-12);
        Assert.Equal(Unfilled, values[1]);
        Assert.Equal(ReadingDoubts.Unfilled, doubts[1]);
    }

    [Theory]
    [InlineData(VerticalLaw.Voltage)]
    [InlineData(VerticalLaw.Power)]
    public void Apply_RatioAndDifferenceOfLevels_SayTheSame(VerticalLaw law)
    {
        VerticalScale scale = Given.Voltage with { Law = law };
        var converter = new VerticalConverter(scale, 4_095);
        TraceConditions volts = Conditions(1, scale, ValueUnit.Volts), levels = Conditions(1, scale);
        Gen.Select(Gen.Double[0.1, 4], Gen.Double[0.1, 4], Gen.Double[-20, 20]).Sample((reading, reference, offset) =>
        {
            InstrumentSettings other = new() { AttenuationDb = 10 };
            var divided = new TraceNormaliser(
                volts with { Settings = new() { AttenuationDb = 0 } }, new TraceReference(volts with { Settings = other }, [reference], [], 1), null, offset);
            var subtracted = new TraceNormaliser(
                levels with { Settings = new() { AttenuationDb = 0 } },
                new TraceReference(levels with { Settings = other }, [converter.LevelOfVolts(reference)], [], 1), null, offset);

            double ratio = Apply(divided, [reading]).Values[0];
            double difference = Apply(subtracted, [converter.LevelOfVolts(reading)]).Values[0];

            Assert.Equal(difference, (law == VerticalLaw.Power ? 10 : 20) * Math.Log10(ratio), 1e-9);
        });
    }

    [Fact]
    public void Apply_AllowedOffset_RaisesTheReference()
    {
        TraceConditions reading = Conditions(1) with { Settings = new() { AttenuationDb = 0 } };
        TraceConditions kept = Conditions(1) with { Settings = new() { AttenuationDb = 10 } };
        var reference = new TraceReference(kept, [-30], [], 1);

        var normaliser = new TraceNormaliser(reading, reference, null, allowedOffsetDb: 10);

        Assert.Equal(-5, Apply(normaliser, [-25]).Values[0]);
        Assert.Equal(ReferenceVerdict.Allowed, normaliser.Check.Verdict);
        Assert.Throws<ArgumentException>(() => new TraceNormaliser(reading, reference));
    }

    // Trusted from 10 dB above the floor on; "at or below" less than 3 dB above it.
    [Theory]
    [InlineData(-70, ReadingDoubts.None)]
    [InlineData(-70.001, ReadingDoubts.NearFloor)]
    [InlineData(-77, ReadingDoubts.NearFloor)]
    [InlineData(-77.001, ReadingDoubts.NearFloor | ReadingDoubts.AtOrBelowFloor)]
    [InlineData(-90, ReadingDoubts.NearFloor | ReadingDoubts.AtOrBelowFloor)]
    [InlineData(double.NegativeInfinity, ReadingDoubts.NearFloor | ReadingDoubts.AtOrBelowFloor)]
    public void Apply_ReadingAboveAStatedOrRecordedFloor_IsTrustedByItsDistance(double level, ReadingDoubts expected)
    {
        TraceConditions conditions = Conditions(1);
        var recorded = TraceFloor.Recorded(new TraceReference(conditions, [-80], [], 1));

        foreach (TraceFloor floor in new[] { TraceFloor.Stated(-80), recorded })
        {
            Assert.Equal(expected, Apply(new TraceNormaliser(conditions, null, floor), [level]).Doubts[0]);
            Assert.Equal(level, Apply(new TraceNormaliser(conditions, null, floor), [level]).Values[0]);
        }
    }

    [Fact]
    public void Apply_ReferenceNearTheFloor_MakesTheDifferenceUntrusted()
    {
        TraceConditions conditions = Conditions(3);
        var reference = new TraceReference(conditions, [-71, -40, -40], [ColumnMarks.None, ColumnMarks.AtRail, ColumnMarks.Settling | ColumnMarks.Suspect], 1);
        var normaliser = new TraceNormaliser(conditions, reference, TraceFloor.Stated(-80));

        (_, ReadingDoubts[] doubts) = Apply(normaliser, [-20, -20, -20]);

        Assert.Equal(
            [ReadingDoubts.ReferenceNearFloor, ReadingDoubts.ReferenceAtRail, ReadingDoubts.ReferenceSettling | ReadingDoubts.Suspect], doubts);
    }

    [Fact]
    public void Apply_MarksOfTheReading_BecomeDoubts()
    {
        TraceConditions conditions = Conditions(4);

        (_, ReadingDoubts[] doubts) = Apply(
            new TraceNormaliser(conditions, null), [1, 2, 3, 4], ColumnMarks.AtRail, ColumnMarks.Suspect, ColumnMarks.Settling, ColumnMarks.Kept);

        Assert.Equal([ReadingDoubts.AtRail, ReadingDoubts.Suspect, ReadingDoubts.Settling, ReadingDoubts.None], doubts);
    }

    [Fact]
    public void Apply_VoltsAboveAFloor_CountTheRatioInDecibels()
    {
        // Floor -40 dB is 0.095 V + 4 V / 100 = 0.135 V; 10 dB above it lies 0.095 V + 0.04 V * 3.1623 = 0.2215 V.
        TraceConditions conditions = Conditions(4, Given.Voltage, ValueUnit.Volts);
        var recorded = TraceFloor.Recorded(new TraceReference(conditions, [0.135, 0.135, 0.135, Unfilled], [], 1));
        var belowNoInput = TraceFloor.Recorded(new TraceReference(conditions, [0.09, 0.09, 0.09, 0.09], [], 1));
        Assert.Equal(ReadingDoubts.None, Apply(new TraceNormaliser(conditions, null, belowNoInput), [0.1, 0.1, 0.1, 0.1]).Doubts[0]);
        foreach (TraceFloor floor in new[] { TraceFloor.Stated(-40), recorded })
        {
            (_, ReadingDoubts[] doubts) = Apply(new TraceNormaliser(conditions, null, floor), [0.222, 0.221, 0.05, 4]);

            Assert.Equal(
                [ReadingDoubts.None, ReadingDoubts.NearFloor, ReadingDoubts.NearFloor | ReadingDoubts.AtOrBelowFloor, ReadingDoubts.None], doubts);
        }
    }

    // An output that falls with more input says the same in volts as in levels: floor -30 dB, readings 0, -20 and -28 dB; below no input.
    [Theory]
    [InlineData(VerticalLaw.Voltage, Detector.Average)]
    [InlineData(VerticalLaw.Voltage, Detector.Rms)]
    [InlineData(VerticalLaw.Power, Detector.Average)]
    public void Apply_VoltsThatFallWithInput_CountFromTheFloorAsLevelsDo(VerticalLaw law, Detector detector)
    {
        VerticalScale falling = new() { Law = law, Volts = new(-2, 2), Up = SignalUp.CodesFall, Level = [new(-1, 0)] };
        TraceConditions conditions = Conditions(4, falling, ValueUnit.Volts, detector);
        double decade = law == VerticalLaw.Power ? 10 : 20, sign = detector == Detector.Rms ? 1 : -1;
        double VoltsOf(double levelDb) => sign * Math.Pow(10, levelDb / decade);
        double[] readings = [VoltsOf(0), VoltsOf(-21), VoltsOf(-28), sign * -0.001];
        ReadingDoubts low = ReadingDoubts.NearFloor | ReadingDoubts.AtOrBelowFloor;

        var recorded = TraceFloor.Recorded(new TraceReference(conditions, [VoltsOf(-30), VoltsOf(-30), VoltsOf(-30), VoltsOf(-30)], [], 1));
        foreach (TraceFloor floor in new[] { TraceFloor.Stated(-30), recorded })
        {
            (_, ReadingDoubts[] doubts) = Apply(new TraceNormaliser(conditions, null, floor), readings);

            Assert.Equal([ReadingDoubts.None, ReadingDoubts.NearFloor, low, low], doubts);
        }
    }

    [Fact]
    public void Apply_NoInputOverAFloorWithoutInput_IsAtTheFloor()
    {
        const int Columns = 33; // whole vectors, and some beside them
        TraceConditions conditions = Conditions(Columns, Given.Voltage);
        double[] none = [.. Enumerable.Repeat(double.NegativeInfinity, Columns)];
        var floor = TraceFloor.Recorded(new TraceReference(conditions, none, [], 1));
        var reference = new TraceReference(conditions, new double[Columns], [], 1);

        (_, ReadingDoubts[] doubts) = Apply(new TraceNormaliser(conditions, reference, floor), none);

        Assert.All(doubts, doubt => Assert.Equal(ReadingDoubts.NearFloor | ReadingDoubts.AtOrBelowFloor, doubt));
    }

    [Fact]
    public void ReadMarks_ReadingsAtRails_AreMarkedByDetector()
    {
        VerticalConverter converter = Given.Converter(Given.Logarithmic);
        var reader = new ColumnValues(converter);
        ColumnStatistics columns = Given.Columns(converter, [0, 100], [4_095, 100], [100], []);
        ColumnMarks[] result = new ColumnMarks[4];

        reader.ReadMarks(columns, Detector.Peak, [ColumnMarks.Suspect, ColumnMarks.Suspect, ColumnMarks.None, ColumnMarks.None], result);
        Assert.Equal([ColumnMarks.Suspect, ColumnMarks.Suspect | ColumnMarks.AtRail, ColumnMarks.None, ColumnMarks.None], result);
        reader.ReadMarks(columns, Detector.Average, [], result);
        Assert.Equal([ColumnMarks.AtRail, ColumnMarks.AtRail, ColumnMarks.None, ColumnMarks.None], result);
        reader.ReadMarks(columns, Detector.Sample, [], result);
        Assert.Equal([ColumnMarks.None, ColumnMarks.None, ColumnMarks.None, ColumnMarks.None], result);
    }

    [Fact]
    public void Constructor_ValuesWithoutRatio_SaysWhy()
    {
        foreach ((TraceConditions conditions, string why) in new[]
        {
            (Conditions(1, unit: ValueUnit.Code), "Codes"),
            (Conditions(1, unit: ValueUnit.Volts), "logarithmic"),
            (Conditions(1, Given.Voltage, ValueUnit.Volts, Detector.Rms), "0 V"),
        })
        {
            ArgumentException thrown = Assert.Throws<ArgumentException>(() => new TraceNormaliser(conditions, new TraceReference(conditions, [1], [], 1)));
            Assert.Contains(why, thrown.Message, StringComparison.Ordinal);
            // Without a reference there is nothing to divide by: rails and marks still count.
            Assert.Equal(ReadingDoubts.AtRail, Apply(new TraceNormaliser(conditions, null), [1], ColumnMarks.AtRail).Doubts[0]);
        }
    }

    [Fact]
    public void Constructor_FloorThatDoesNotHold_Throws()
    {
        TraceConditions conditions = Conditions(1);
        TraceFloor other = TraceFloor.Recorded(new TraceReference(conditions with { FullCode = 1_023 }, [0], [], 1));

        Assert.Throws<ArgumentException>(() => new TraceNormaliser(conditions, null, other));
        Assert.Throws<ArgumentException>(() => new TraceNormaliser(
            Conditions(1, Given.Voltage with { Level = [] }, ValueUnit.Volts), null, TraceFloor.Stated(-80)));
        Assert.Throws<ArgumentException>(() => TraceFloor.Stated(double.NaN));
    }

    [Fact]
    public void Apply_SpansThatDoNotFit_Throws()
    {
        var normaliser = new TraceNormaliser(Conditions(2), null);

        Assert.Throws<ArgumentException>(() => normaliser.Apply([1], [], new double[2], new ReadingDoubts[2]));
        Assert.Throws<ArgumentException>(() => normaliser.Apply([1, 2], [ColumnMarks.None], new double[2], new ReadingDoubts[2]));
        Assert.Throws<ArgumentException>(() => normaliser.Apply([1, 2], [], new double[1], new ReadingDoubts[2]));
        Assert.Throws<ArgumentException>(() => normaliser.Apply([1, 2], [], new double[2], new ReadingDoubts[1]));
    }

    [Fact]
    public void Apply_InPlace_AllocatesNothing()
    {
        TraceConditions conditions = Conditions(3);
        var normaliser = new TraceNormaliser(conditions, new TraceReference(conditions, [-3, -4, -5], [], 1), TraceFloor.Stated(-80));
        double[] values = [-10, -79, Unfilled];
        ColumnMarks[] marks = new ColumnMarks[3];
        ReadingDoubts[] doubts = new ReadingDoubts[3];

        Allocation.AssertNone(() => normaliser.Apply(values, marks, values, doubts));
    }
}
