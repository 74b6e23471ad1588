using Acquire.Columns;
using Acquire.Scales;
using Acquire.Tests.Doubles;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Tests.Traces;

public class ColumnValuesTests
{
    private static double ReadOne(VerticalConverter converter, ValueChoice choice, params ushort[] codes)
    {
        double[] values = new double[1];
        Assert.Equal(ValueAvailability.Available, new ColumnValues(converter).Read(Given.Columns(converter, codes), choice, values));
        return values[0];
    }

    [Fact]
    public void Read_ThreeReadings_GivesEachDetectorInCodes()
    {
        VerticalConverter converter = Given.Converter(Given.Logarithmic);

        Assert.Equal(9, ReadOne(converter, new(Detector.Peak), 4, 9, 2));
        Assert.Equal(2, ReadOne(converter, new(Detector.Minimum), 4, 9, 2));
        Assert.Equal(5, ReadOne(converter, new(Detector.Average), 4, 9, 2));
        Assert.Equal(Math.Sqrt(101.0 / 3), ReadOne(converter, new(Detector.Rms), 4, 9, 2));
        Assert.Equal(2, ReadOne(converter, new(Detector.Sample), 4, 9, 2));
    }

    [Fact]
    public void Read_ScreenUpIsFallingCodes_PeakIsTheLowestCode()
    {
        VerticalConverter converter = Given.Converter(Given.LogarithmicFalling);

        Assert.Equal(1_000, ReadOne(converter, new(Detector.Peak), 2_000, 1_000));
        Assert.Equal(2_000, ReadOne(converter, new(Detector.Minimum), 2_000, 1_000));
        Assert.Equal(1, ReadOne(converter, new(Detector.Peak, ValueUnit.Volts), 2_000, 1_000), 1e-12);
        Assert.Equal(-40, ReadOne(converter, new(Detector.Peak, ValueUnit.Level), 2_000, 1_000), 1e-12);
        Assert.Equal(-60, ReadOne(converter, new(Detector.Minimum, ValueUnit.Level), 2_000, 1_000), 1e-12);
    }

    [Fact]
    public void Read_UnfilledColumn_IsNaNForEveryDetectorAndUnit()
    {
        VerticalConverter converter = Given.Converter(Given.Logarithmic, Given.AllDomains);
        ColumnStatistics columns = Given.Columns(converter, [7], [], [8, 8]);
        double[] values = new double[3];

        foreach (Detector detector in Enum.GetValues<Detector>())
        {
            foreach (ValueUnit unit in Enum.GetValues<ValueUnit>())
            {
                Assert.Equal(ValueAvailability.Available, new ColumnValues(converter).Read(columns, new(detector, unit), values));
                Assert.Equal([false, true, false], values.Select(double.IsNaN));
            }
        }
    }

    [Fact]
    public void Read_PartOfTheColumns_IsTheSamePartOfTheWhole()
    {
        VerticalConverter converter = Given.Converter(Given.LogarithmicBent, Given.AllDomains);
        ColumnStatistics columns = Given.Columns(converter, [1], [2, 3], [], [4, 9], [5]);
        var reader = new ColumnValues(converter);
        double[] whole = new double[5];
        double[] part = new double[3];

        foreach (Detector detector in Enum.GetValues<Detector>())
        {
            foreach (ValueUnit unit in Enum.GetValues<ValueUnit>())
            {
                reader.Read(columns, new(detector, unit), whole);
                reader.Read(columns, 1, new ValueChoice(detector, unit), part);
                Assert.Equal(whole[1..4], part);
            }
        }
    }

    [Fact]
    public void Read_AverageOfLogarithmicVertical_DependsOnTheDomain()
    {
        // Code 3000 = -40 dB, code 4000 = -20 dB.
        VerticalConverter converter = Given.Converter(Given.Logarithmic, Given.AllDomains);

        Assert.Equal(-30, ReadOne(converter, new(Detector.Average, ValueUnit.Level), 3_000, 4_000), 1e-12);
        Assert.Equal(20 * Math.Log10((0.01 + 0.1) / 2), ReadOne(converter, new(Detector.Average, ValueUnit.Level, AveragingDomain.Voltage), 3_000, 4_000), 1e-9);
        Assert.Equal(10 * Math.Log10((1e-4 + 1e-2) / 2), ReadOne(converter, new(Detector.Average, ValueUnit.Level, AveragingDomain.Power), 3_000, 4_000), 1e-9);
        Assert.Equal(10 * Math.Log10((1e-4 + 1e-2) / 2), ReadOne(converter, new(Detector.Rms, ValueUnit.Level), 3_000, 4_000), 1e-9);
    }

    [Fact]
    public void Read_LinearLaws_HaveTheirOwnDomainAndRmsWithoutATable()
    {
        // 95 mV is no input, 4.095 V is 0 dB: codes 495 and 2095 are a tenth and a half.
        VerticalConverter voltage = Given.Converter(Given.Voltage);
        VerticalConverter power = Given.Converter(Given.Power);

        Assert.Equal(20 * Math.Log10(0.3), ReadOne(voltage, new(Detector.Average, ValueUnit.Level), 495, 2_095), 1e-12);
        Assert.Equal(10 * Math.Log10((0.01 + 0.25) / 2), ReadOne(voltage, new(Detector.Rms, ValueUnit.Level), 495, 2_095), 1e-12);
        Assert.Equal(10 * Math.Log10((0.01 + 0.25) / 2), ReadOne(voltage, new(Detector.Average, ValueUnit.Level, AveragingDomain.Power), 495, 2_095), 1e-12);
        Assert.Equal(10 * Math.Log10(0.3), ReadOne(power, new(Detector.Average, ValueUnit.Level), 495, 2_095), 1e-12);
        Assert.Equal(10 * Math.Log10(0.3), ReadOne(power, new(Detector.Rms, ValueUnit.Level), 495, 2_095), 1e-12);
    }

    public static TheoryData<ValueChoice, VerticalScale, ValueAvailability> Unavailable() => new()
    {
        { new(Detector.Peak, ValueUnit.Volts), new VerticalScale(), ValueAvailability.NoVolts },
        { new(Detector.Peak, ValueUnit.Level), Given.Logarithmic with { Level = [] }, ValueAvailability.NoLevel },
        { new(Detector.Average, ValueUnit.Level), Given.LogarithmicBent, ValueAvailability.DomainNotAsked },
        { new(Detector.Average, ValueUnit.Level, AveragingDomain.Power), Given.Logarithmic, ValueAvailability.DomainNotAsked },
        { new(Detector.Average, ValueUnit.Level, AveragingDomain.Voltage), Given.Power, ValueAvailability.DomainNotAsked },
        { new(Detector.Average, ValueUnit.Level, AveragingDomain.Level), Given.Voltage, ValueAvailability.DomainNotAsked },
        { new(Detector.Rms, ValueUnit.Level), Given.Logarithmic, ValueAvailability.DomainNotAsked },
        { new(Detector.Rms, ValueUnit.Level, AveragingDomain.Level), Given.Logarithmic, ValueAvailability.DomainDoesNotApply },
        { new(Detector.Average, ValueUnit.Volts, AveragingDomain.Power), Given.Logarithmic, ValueAvailability.DomainDoesNotApply },
        { new(Detector.Average, ValueUnit.Code, AveragingDomain.Level), Given.LogarithmicBent, ValueAvailability.DomainDoesNotApply },
    };

    [Theory]
    [MemberData(nameof(Unavailable))]
    public void Read_WhatWasNotAskedFor_SaysWhyAndTouchesNothing(ValueChoice choice, VerticalScale scale, ValueAvailability why)
    {
        VerticalConverter converter = Given.Converter(scale);
        double[] values = [123];

        Assert.Equal(why, new ColumnValues(converter).Read(Given.Columns(converter, [5]), choice, values));
        Assert.Equal(123, values[0]);
        Assert.NotEmpty(ColumnValues.Explain(why, choice));
    }

    [Fact]
    public void Read_ColumnsThatLackAnAskedDomain_SayThatItWasNotAsked()
    {
        ColumnStatistics columns = Given.Columns(Given.Converter(Given.Logarithmic), [5]);

        Assert.Equal(
            ValueAvailability.DomainNotAsked,
            new ColumnValues(Given.Converter(Given.Logarithmic, AveragingDomain.Power)).Read(columns, new(Detector.Rms, ValueUnit.Level), new double[1]));
    }

    [Fact]
    public void Read_TooFewValues_Throws()
    {
        VerticalConverter converter = Given.Converter(Given.Logarithmic);

        Assert.Throws<ArgumentException>(() => new ColumnValues(converter).Read(Given.Columns(converter, [1], [2]), new(Detector.Peak), new double[1]));
    }

    [Theory]
    [InlineData(Detector.Sample)]
    [InlineData(Detector.Average)]
    public void Read_ColumnsThatAreNotThere_ThrowsAndTouchesNothing(Detector detector)
    {
        VerticalConverter converter = Given.Converter(Given.Logarithmic);
        var reader = new ColumnValues(converter);
        ColumnStatistics columns = Given.Columns(converter, [1], [2]);
        double[] values = [7, 7];

        Assert.Equal("firstColumn", Assert.Throws<ArgumentOutOfRangeException>(() => reader.Read(columns, 1, new(detector), values)).ParamName);
        Assert.Equal("firstColumn", Assert.Throws<ArgumentOutOfRangeException>(() => reader.Read(columns, -1, new(detector), values)).ParamName);
        Assert.Equal([7, 7], values);
        Assert.Equal("column", Assert.Throws<ArgumentOutOfRangeException>(() => reader.IsAtRail(columns, 2, detector)).ParamName);
    }

    [Fact]
    public void ReadMarks_SpansThatDoNotFit_ThrowsAndTouchesNothing()
    {
        VerticalConverter converter = Given.Converter(Given.Logarithmic);
        var reader = new ColumnValues(converter);
        ColumnStatistics columns = Given.Columns(converter, [0], [0]);
        ColumnMarks[] result = new ColumnMarks[2];

        Assert.Throws<ArgumentException>(() => reader.ReadMarks(columns, Detector.Peak, [], result.AsSpan(0, 1)));
        Assert.Throws<ArgumentException>(() => reader.ReadMarks(columns, Detector.Peak, [ColumnMarks.Suspect], result));
        Assert.Equal([ColumnMarks.None, ColumnMarks.None], result);
    }

    public static TheoryData<ValueChoice> Nameless() => new()
    {
        new ValueChoice((Detector)5),
        new ValueChoice(Detector.Peak, (ValueUnit)3),
        new ValueChoice(Detector.Average, ValueUnit.Level, (AveragingDomain)3),
    };

    [Theory]
    [MemberData(nameof(Nameless))]
    public void Check_ChoiceWithoutAName_Throws(ValueChoice choice)
    {
        VerticalConverter converter = Given.Converter(Given.Logarithmic);

        Assert.Equal("choice", Assert.Throws<ArgumentOutOfRangeException>(() => new ColumnValues(converter).Check(choice)).ParamName);
    }

    [Fact]
    public void Converter_DomainWithoutAName_Throws() =>
        Assert.Equal("domains", Assert.Throws<ArgumentOutOfRangeException>(() => new VerticalConverter(Given.Logarithmic, 4_095, [(AveragingDomain)3])).ParamName);

    [Fact]
    public void Read_AnyReadingsAndScale_AgreesWithPlainArithmeticOverTheReadings() =>
        Gen.Select(
            Gen.UShort[96, 4_095].Array[1, 40],
            Gen.Int[0, 4].Select(i => new[] { Given.Logarithmic, Given.LogarithmicFalling, Given.LogarithmicBent, Given.Voltage, Given.Power }[i])).Sample((codes, scale) =>
        {
            VerticalConverter converter = Given.Converter(scale, Given.AllDomains);
            double[] volts = [.. codes.Select(c => converter.VoltsOf(c))];
            double[] levels = [.. codes.Select(c => converter.LevelOf(c))];

            Assert.Equal(codes.Average(c => (double)c), ReadOne(converter, new(Detector.Average), codes), 1e-9);
            Assert.Equal(volts.Average(), ReadOne(converter, new(Detector.Average, ValueUnit.Volts), codes), 1e-12);
            Assert.Equal(Math.Sqrt(volts.Average(v => v * v)), ReadOne(converter, new(Detector.Rms, ValueUnit.Volts), codes), 1e-12);
            Assert.Equal(levels.Max(), ReadOne(converter, new(Detector.Peak, ValueUnit.Level), codes), 1e-12);
            Assert.Equal(levels.Min(), ReadOne(converter, new(Detector.Minimum, ValueUnit.Level), codes), 1e-12);
            Assert.Equal(levels[^1], ReadOne(converter, new(Detector.Sample, ValueUnit.Level), codes), 1e-12);
            Assert.Equal(levels.Average(), ReadOne(converter, new(Detector.Average, ValueUnit.Level, AveragingDomain.Level), codes), 1e-8);
            Assert.Equal(
                20 * Math.Log10(levels.Average(l => Math.Pow(10, l / 20))),
                ReadOne(converter, new(Detector.Average, ValueUnit.Level, AveragingDomain.Voltage), codes), 1e-8);
            Assert.Equal(
                10 * Math.Log10(levels.Average(l => Math.Pow(10, l / 10))),
                ReadOne(converter, new(Detector.Rms, ValueUnit.Level), codes), 1e-8);
        });

    [Fact]
    public void Read_OutputNearZeroVoltsOnAWideConverter_KeepsItsRms()
    {
        // +-10 V, 16 bits: codes 32767 and 32768 are -+10/65535 V; the mean is 0 and the RMS is that value.
        VerticalConverter converter = new(new VerticalScale { Volts = new CodeVolts(-10m, 10m) }, 65_535);

        double rms = ReadOne(converter, new(Detector.Rms, ValueUnit.Volts), 32_767, 32_768);

        Assert.Equal(10.0 / 65_535, rms, 1e-15);
    }

    [Fact]
    public void Read_EveryChoice_AllocatesNothing()
    {
        VerticalConverter converter = Given.Converter(Given.LogarithmicBent, Given.AllDomains);
        ColumnStatistics columns = Given.Columns(converter, [1, 2], [], [4_095]);
        var reader = new ColumnValues(converter);
        double[] values = new double[3];
        Detector[] detectors = Enum.GetValues<Detector>();
        ValueUnit[] units = Enum.GetValues<ValueUnit>();

        Allocation.AssertNone(() =>
        {
            foreach (Detector detector in detectors)
                foreach (ValueUnit unit in units) reader.Read(columns, new(detector, unit), values);
        });
    }
}
