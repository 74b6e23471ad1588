using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Tests.Traces;

public class TraceReferenceTests
{
    private static readonly InstrumentSettings AllSettings = new()
    {
        Instrument = "bench",
        CentreHz = 30e3,
        SpanHz = 50e3,
        ResolutionBandwidthHz = 300,
        VideoBandwidthHz = 400,
        ReferenceLevelDb = 0,
        AttenuationDb = 10,
        SweepTimeSeconds = 0.4,
    };

    private static readonly TraceConditions Known = new()
    {
        Choice = new(Detector.Average, ValueUnit.Level),
        Scale = Given.Logarithmic,
        FullCode = 4_095,
        Axis = new ColumnAxis(0, 100, 200, 3_800, StartsHigh: false, Learnt: false, Provisional: false),
        RampVolts = new CodeVolts(-5.5m, 5.5m),
        SweepAxis = new SweepAxis(5e3, 55e3),
        Settings = AllSettings,
    };

    private static TraceReference Reference(TraceConditions conditions) => new(conditions, new double[conditions.Axis.ColumnCount], [], sweeps: 4);

    [Fact]
    public void Check_EverythingKnownAndEqual_Agrees()
    {
        ReferenceCheck check = Reference(Known).Check(Known with { Scale = Given.Logarithmic with { Level = [.. Given.Logarithmic.Level.Reverse()] } });

        Assert.Equal(ReferenceVerdict.Agrees, check.Verdict);
        Assert.Empty(check.Issues);
        Assert.Equal(0, check.OffsetDb);
    }

    public static TheoryData<ReferenceIssueKind, InstrumentSettings> DifferentSettings() => new()
    {
        { ReferenceIssueKind.Instrument, AllSettings with { Instrument = "other bench" } },
        { ReferenceIssueKind.Centre, AllSettings with { CentreHz = 31e3 } },
        { ReferenceIssueKind.Span, AllSettings with { SpanHz = 0 } },
        { ReferenceIssueKind.ResolutionBandwidth, AllSettings with { ResolutionBandwidthHz = 100 } },
        { ReferenceIssueKind.VideoBandwidth, AllSettings with { VideoBandwidthHz = 399.999 } },
        { ReferenceIssueKind.ReferenceLevel, AllSettings with { ReferenceLevelDb = -10 } },
        { ReferenceIssueKind.Attenuation, AllSettings with { AttenuationDb = 20 } },
        { ReferenceIssueKind.SweepTime, AllSettings with { SweepTimeSeconds = 0.2 } },
    };

    [Theory]
    [MemberData(nameof(DifferentSettings))]
    public void Check_SettingKnownAndDifferent_IsRefusedUnlessAllowedWithAnOffset(ReferenceIssueKind kind, InstrumentSettings other)
    {
        ReferenceCheck refused = Reference(Known with { Settings = other }).Check(Known);
        ReferenceCheck allowed = Reference(Known with { Settings = other }).Check(Known, allowedOffsetDb: -2.5);

        Assert.Equal(ReferenceVerdict.Refused, refused.Verdict);
        Assert.False(refused.IsUsable);
        Assert.Equal(kind, Assert.Single(refused.Issues).Kind);
        Assert.True(refused.Issues[0].Refuses);
        Assert.Contains("state the level offset", refused.Issues[0].Text, StringComparison.Ordinal);
        Assert.Equal(ReferenceVerdict.Allowed, allowed.Verdict);
        Assert.Equal(-2.5, allowed.OffsetDb);
        Assert.False(Assert.Single(allowed.Issues).Refuses);
        Assert.Contains("-2.5 dB", allowed.Issues[0].Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    public void Check_OffsetThatIsNoNumberOfDecibels_Throws(double offsetDb)
    {
        TraceReference reference = Reference(Known);

        Assert.Equal("allowedOffsetDb", Assert.Throws<ArgumentOutOfRangeException>(() => reference.Check(Known, offsetDb)).ParamName);
        Assert.Throws<ArgumentOutOfRangeException>(() => new TraceNormaliser(Known, reference, allowedOffsetDb: offsetDb));
    }

    [Fact]
    public void Check_SettingsUnknownOnEitherSide_WarnsOnceAndNamesThem()
    {
        foreach ((InstrumentSettings reading, InstrumentSettings kept) in new[]
        {
            (AllSettings with { SpanHz = null, SweepTimeSeconds = null }, AllSettings),
            (AllSettings, AllSettings with { SpanHz = null, SweepTimeSeconds = null }),
            (AllSettings with { SpanHz = null }, AllSettings with { SweepTimeSeconds = null }),
        })
        {
            ReferenceCheck check = Reference(Known with { Settings = kept }).Check(Known with { Settings = reading }, allowedOffsetDb: 3);

            Assert.Equal(ReferenceVerdict.Unsure, check.Verdict);
            Assert.True(check.IsUsable);
            ReferenceIssue issue = Assert.Single(check.Issues);
            Assert.Equal(ReferenceIssueKind.Unknown, issue.Kind);
            Assert.Contains("span, sweep time", issue.Text, StringComparison.Ordinal);
            // Nothing is known to differ, so there is nothing to correct.
            Assert.Equal(0, check.OffsetDb);
        }
    }

    [Fact]
    public void Check_SettingWrittenInAnotherWay_IsTheSameSetting()
    {
        ReferenceCheck check = Reference(Known with { Settings = AllSettings with { ResolutionBandwidthHz = 0.3 * 1e3 } })
            .Check(Known with { Settings = AllSettings with { ResolutionBandwidthHz = 3 * 0.1 * 1e3 } });

        Assert.Equal(ReferenceVerdict.Agrees, check.Verdict);
    }

    [Fact]
    public void Check_OwnersNotesDiffer_Warns()
    {
        Dictionary<string, string> a = new(StringComparer.Ordinal) { ["cable"] = "1 m", ["day"] = "1" };
        Dictionary<string, string> b = new(StringComparer.Ordinal) { ["cable"] = "2 m" };

        ReferenceCheck check = Reference(Known with { Settings = AllSettings with { More = a } }).Check(Known with { Settings = AllSettings with { More = b } });

        Assert.Equal(ReferenceVerdict.Unsure, check.Verdict);
        Assert.Equal(ReferenceIssueKind.More, Assert.Single(check.Issues).Kind);
    }

    public static TheoryData<ReferenceIssueKind, TraceConditions> DifferentConditions() => new()
    {
        { ReferenceIssueKind.Choice, Known with { Choice = new(Detector.Peak, ValueUnit.Level) } },
        { ReferenceIssueKind.Choice, Known with { Choice = new(Detector.Average, ValueUnit.Level, AveragingDomain.Power) } },
        { ReferenceIssueKind.Placement, Known with { Placement = Placement.Direct } },
        { ReferenceIssueKind.Scale, Known with { FullCode = 1_023 } },
        { ReferenceIssueKind.Scale, Known with { Scale = Given.LogarithmicBent } },
        { ReferenceIssueKind.Scale, Known with { Scale = Given.Logarithmic with { LevelUnit = "dBm" } } },
        { ReferenceIssueKind.Grid, Known with { Axis = Known.Axis with { ColumnCount = 99 } } },
        { ReferenceIssueKind.Grid, Known with { Axis = Known.Axis with { StartsHigh = true } } },
        { ReferenceIssueKind.Edges, Known with { Axis = Known.Axis with { Provisional = true } } },
        { ReferenceIssueKind.Edges, Known with { Axis = Known.Axis with { LowCode = 210 } } },
        { ReferenceIssueKind.Edges, Known with { Axis = Known.Axis with { HighCode = 3_790 } } },
        { ReferenceIssueKind.Edges, Known with { RampVolts = new CodeVolts(-5m, 5m) } },
        { ReferenceIssueKind.SweepAxis, Known with { SweepAxis = new SweepAxis(5.2e3, 55e3) } },
        { ReferenceIssueKind.SweepAxis, Known with { SweepAxis = new SweepAxis(5e3, 55e3, "s") } },
        { ReferenceIssueKind.SweepAxis, Known with { SweepAxis = new SweepAxis(5e3, 55e3) { Shape = [new(0, 0), new(0.5, 0.51), new(1, 1)] } } },
    };

    [Theory]
    [MemberData(nameof(DifferentConditions))]
    public void Check_GridScaleOrAxisDiffer_IsRefusedWhateverIsAllowed(ReferenceIssueKind kind, TraceConditions other)
    {
        ReferenceCheck check = Reference(other).Check(Known, allowedOffsetDb: 0);

        Assert.Equal(ReferenceVerdict.Refused, check.Verdict);
        Assert.Equal(kind, check.Issues[0].Kind);
        Assert.All(check.Issues, i => Assert.True(i.Refuses));
    }

    // A column is 36 codes and 500 Hz wide: a quarter is 9 codes and 125 Hz.
    [Fact]
    public void Check_AxesApartByAQuarterColumn_AgreeAndByMoreDoNot()
    {
        TraceConditions inCodes = Known with { RampVolts = null };

        Assert.True(Reference(inCodes with { Axis = Known.Axis with { LowCode = 209, HighCode = 3_791 } }).Check(inCodes).IsUsable);
        Assert.False(Reference(inCodes with { Axis = Known.Axis with { LowCode = 209.01 } }).Check(inCodes).IsUsable);
        Assert.True(Reference(Known with { SweepAxis = new SweepAxis(5_125, 54_875) }).Check(Known).IsUsable);
        Assert.False(Reference(Known with { SweepAxis = new SweepAxis(5_126, 55e3) }).Check(Known).IsUsable);
    }

    [Fact]
    public void Check_EdgesOfTwoConverterRanges_AreComparedInVolts()
    {
        // The same ramp through a converter of twice the range: half the codes from its middle on.
        TraceConditions wide = Known with
        {
            RampVolts = new CodeVolts(-11m, 11m),
            Axis = Known.Axis with { LowCode = 100 + 1_023.75, HighCode = 1_900 + 1_023.75 },
        };

        Assert.Equal(ReferenceVerdict.Agrees, Reference(wide).Check(Known).Verdict);
        Assert.Equal(ReferenceVerdict.Unsure, Reference(Known with { RampVolts = null }).Check(Known).Verdict);
    }

    [Fact]
    public void Check_SeveralDifferences_ListsTheRefusingOnesFirst()
    {
        ReferenceCheck check = Reference(Known with { Placement = Placement.Direct, Settings = AllSettings with { CentreHz = null, SpanHz = 1 } }).Check(Known);

        Assert.Equal([ReferenceIssueKind.Placement, ReferenceIssueKind.Span, ReferenceIssueKind.Unknown], check.Issues.Select(i => i.Kind));
        Assert.Equal([true, true, false], check.Issues.Select(i => i.Refuses));
    }

    [Fact]
    public void Of_AnAverage_CopiesValuesMarksAndSweeps()
    {
        VerticalConverter converter = Given.Converter(Given.Logarithmic);
        var average = new TraceAverage(new ColumnValues(converter), 2, new(Detector.Average, ValueUnit.Level), AveragingMode.Block, 3);
        TraceConditions two = Known with { Axis = Known.Axis with { ColumnCount = 2 }, Choice = new(Detector.Peak) };
        average.Take(new SweepInfo { Complete = true, EndReason = SweepEnd.Retrace }, Given.Columns(converter, [1_000], [4_095]));

        TraceReference reference = TraceReference.Of(average, two);
        average.Restart();

        Assert.Equal([-80, -18.1], reference.Values.ToArray().Select(v => Math.Round(v, 9)));
        Assert.Equal([ColumnMarks.None, ColumnMarks.AtRail], reference.Marks.ToArray());
        Assert.Equal(1, reference.Sweeps);
        Assert.Equal(average.Choice, reference.Conditions.Choice);
        Assert.Throws<ArgumentException>(() => TraceReference.Of(average, Known));
    }

    [Fact]
    public void Constructor_OtherNumberOfValues_Throws()
    {
        Assert.Throws<ArgumentException>(() => new TraceReference(Known, new double[99], [], 1));
        Assert.Throws<ArgumentException>(() => new TraceReference(Known, new double[100], new ColumnMarks[99], 1));
    }
}
