using Acquire.Scales;
using Acquire.Tests.Traces;
using CsCheck;

namespace Acquire.Tests.Scales;

public class VerticalConverterTests
{
    [Fact]
    public void LevelOf_StraightLogarithmicScale_LiesOnTheLineAndItsExtensions()
    {
        VerticalConverter converter = Given.Converter(Given.Logarithmic);

        Assert.Equal(-100, converter.LevelOf(0), 1e-12);
        Assert.Equal(-60, converter.LevelOf(2_000), 1e-12);
        Assert.Equal(-20, converter.LevelOf(4_000), 1e-12);
        Assert.Equal(-18.1, converter.LevelOf(4_095), 1e-12);
        Assert.Equal(-59.99, converter.LevelOf(2_000.5), 1e-12);
        Assert.True(converter.OwnDomainIsStraight);
    }

    [Fact]
    public void LevelOf_BentLogarithmicScale_FollowsEachPieceAndExtendsTheOuterOnes()
    {
        VerticalConverter converter = new(
            Given.LogarithmicBent with { Volts = new CodeVolts(-1m, 5m), Level = [.. Given.LogarithmicBent.Level.Reverse()] }, 6_000);

        Assert.Equal(-110, converter.LevelOfVolts(-1), 1e-12);
        Assert.Equal(-90, converter.LevelOfVolts(1), 1e-12);
        Assert.Equal(-80, converter.LevelOfVolts(2), 1e-12);
        Assert.Equal(-50, converter.LevelOfVolts(3), 1e-12);
        Assert.Equal(10, converter.LevelOfVolts(5), 1e-12);
        Assert.False(converter.OwnDomainIsStraight);
    }

    [Fact]
    public void LevelOf_ThreePointsOnOneLine_IsStraight()
    {
        VerticalScale scale = Given.Logarithmic with { Level = [new(0m, -100m), new(0.3m, -70m), new(1.1m, 10m)] };

        Assert.True(Given.Converter(scale).OwnDomainIsStraight);
    }

    // Check arithmetic of a linear scale, from any handbook: half the voltage is -6.0206 dB, a tenth -20 dB; for power -3.0103 and -10 dB.
    [Theory]
    [InlineData(VerticalLaw.Voltage, 0.5, -6.0206)]
    [InlineData(VerticalLaw.Voltage, 0.1, -20)]
    [InlineData(VerticalLaw.Power, 0.5, -3.0103)]
    [InlineData(VerticalLaw.Power, 0.1, -10)]
    public void LevelOfVolts_LinearLaws_FollowTheLaw(VerticalLaw law, double share, double levelDb)
    {
        VerticalConverter converter = Given.Converter(Given.Voltage with { Law = law });

        Assert.Equal(levelDb, converter.LevelOfVolts(0.095 + (4.0 * share)), 1e-4);
        Assert.Equal(0.095 + (4.0 * share), converter.VoltsOfLevel(levelDb), 1e-4);
    }

    [Fact]
    public void LevelOf_LinearLawWithoutInputOrLess_IsMinusInfinity()
    {
        VerticalConverter converter = Given.Converter(Given.Voltage);

        Assert.Equal(double.NegativeInfinity, converter.LevelOf(0));
        Assert.Equal(double.NegativeInfinity, converter.LevelsOfCodes[94]);
        Assert.True(double.IsFinite(converter.LevelsOfCodes[96]));
    }

    [Fact]
    public void Up_IsTakenFromTheScaleAndCombinedWithTheConvertersPolarity()
    {
        // The recordings' vertical: code 0..4095 = +0.1..-1.1 V, 0 V = -100 dB, -1 V = 0 dB: codes rise with the signal, volts fall.
        VerticalConverter converter = new(
            new VerticalScale { Volts = new CodeVolts(0.1m, -1.1m), Level = [new(0m, -100m), new(-1m, 0m)] }, 4_095);

        Assert.True(converter.CodesRiseOnScreen);
        Assert.False(converter.VoltsRiseOnScreen);
        Assert.Equal(0, converter.LevelOfVolts(-1), 1e-12);
        Assert.Equal(-100, converter.LevelOf(converter.CodeOfVolts(0)), 1e-9);
    }

    [Fact]
    public void LevelAndVolts_AnyScaleAndVoltage_AreInverse() =>
        Gen.Select(Gen.Double[-5, 5], Gen.Int[0, 4].Select(i => new[] { Given.Logarithmic, Given.LogarithmicFalling, Given.LogarithmicBent, Given.Voltage, Given.Power }[i]))
            .Where((v, s) => s.Law == VerticalLaw.Logarithmic || v > 0.1)
            .Sample((volts, scale) =>
            {
                VerticalConverter converter = Given.Converter(scale);
                Assert.Equal(volts, converter.VoltsOfLevel(converter.LevelOfVolts(volts)), 1e-9);
                Assert.Equal(volts, converter.VoltsOf(converter.CodeOfVolts(volts)), 1e-12);
            });

    public static TheoryData<string, VerticalScale> WrongScales() => new()
    {
        { "must differ", Given.Logarithmic with { Volts = new CodeVolts(1m, 1m) } },
        { "no volts", Given.Logarithmic with { Volts = null } },
        { "two or more", Given.Logarithmic with { Level = [new(0m, 0m)] } },
        { "each voltage may have one level", Given.Logarithmic with { Level = [new(0m, 0m), new(0m, 1m)] } },
        { "one way", Given.Logarithmic with { Level = [new(0m, 0m), new(1m, 10m), new(2m, 9m)] } },
        { "one way", Given.Logarithmic with { Level = [new(0m, 0m), new(1m, 10m), new(2m, 10m)] } },
        { "exactly one", Given.Voltage with { Level = [new(1m, 0m), new(2m, 6m)] } },
        { "with an input", Given.Power with { Level = [new(0.095m, 0m)] } },
        { "set Up to CodesFall", Given.LogarithmicFalling with { Up = SignalUp.CodesRise } },
        { "set Up to CodesRise", Given.Voltage with { Up = SignalUp.CodesFall } },
        { "set Up to CodesFall", Given.Voltage with { Volts = new CodeVolts(4.095m, 0m) } },
        { "within", Given.Logarithmic with { Level = [new(0m, 0m), new(1m, 1001m)] } },
        { "within", Given.Logarithmic with { Volts = new CodeVolts(0m, 1_000_001m) } },
    };

    [Theory]
    [MemberData(nameof(WrongScales))]
    public void Constructor_ScaleThatContradictsItself_ThrowsWithTheRule(string rule, VerticalScale scale)
    {
        ArgumentException thrown = Assert.Throws<ArgumentException>(() => new VerticalConverter(scale, 4_095));

        Assert.Contains(rule, thrown.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(65_536)]
    public void Constructor_FullCodeOutOfRange_Throws(int fullCode) =>
        Assert.Throws<ArgumentException>(() => new VerticalConverter(new VerticalScale(), fullCode));

    [Theory]
    [InlineData(1)]
    [InlineData(65_535)]
    public void Constructor_OutermostFullCodes_HaveALevelForEveryCode(int fullCode) =>
        Assert.Equal(fullCode + 1, new VerticalConverter(Given.Logarithmic, fullCode).LevelsOfCodes.Length);

    [Fact]
    public void Constructor_DomainWithoutLevel_HasNoTable() =>
        Assert.Null(Given.Converter(new VerticalScale(), AveragingDomain.Power).Tables[(int)AveragingDomain.Power]);

    [Fact]
    public void Values_OfPlainCodes_RefuseVoltsAndLevel()
    {
        VerticalConverter converter = Given.Converter(new VerticalScale());

        Assert.False(converter.HasVolts);
        Assert.False(converter.HasLevel);
        Assert.Throws<InvalidOperationException>(() => converter.VoltsOf(1));
        Assert.Throws<InvalidOperationException>(() => converter.LevelOfVolts(1));
        Assert.Throws<InvalidOperationException>(() => converter.VoltsOfLevel(1));
    }

    [Fact]
    public void ImpliedUp_FollowsVoltsAndPoints()
    {
        Assert.Null(new VerticalScale().ImpliedUp());
        Assert.Null((Given.Logarithmic with { Level = [] }).ImpliedUp());
        Assert.Equal(SignalUp.CodesRise, Given.Logarithmic.ImpliedUp());
        Assert.Equal(SignalUp.CodesFall, Given.LogarithmicFalling.ImpliedUp());
        Assert.Equal(SignalUp.CodesFall, (Given.Voltage with { Volts = new CodeVolts(4.095m, 0m) }).ImpliedUp());
        Assert.Equal(SignalUp.CodesFall, (Given.Power with { ZeroVolts = 5m }).ImpliedUp());
    }
}
