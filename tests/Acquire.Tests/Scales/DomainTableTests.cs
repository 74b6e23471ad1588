using Acquire.Scales;
using Acquire.Tests.Traces;
using CsCheck;

namespace Acquire.Tests.Scales;

public class DomainTableTests
{
    [Theory]
    [InlineData(AveragingDomain.Level)]
    [InlineData(AveragingDomain.Voltage)]
    [InlineData(AveragingDomain.Power)]
    public void MeanLevelDb_OfOneReading_IsItsLevel(AveragingDomain domain)
    {
        foreach (VerticalScale scale in new[] { Given.Logarithmic, Given.LogarithmicBent, Given.LogarithmicFalling, Given.Voltage, Given.Power })
        {
            VerticalConverter converter = Given.Converter(scale, domain);
            DomainTable table = converter.Tables[(int)domain]!;

            for (int code = 0; code <= 4_095; code++)
            {
                double level = converter.LevelsOfCodes[code];
                // Below no input, a power out of a voltage is a square and has a level again: the sum of squares does the same.
                if (double.IsInfinity(level)) continue;
                Assert.Equal(level, table.MeanLevelDb(table[code], 1), 1e-9);
                Assert.Equal(level, table.LevelOf(table.QuantityOf(level)), 1e-9);
            }
        }
    }

    [Fact]
    public void MeanLevelDb_TwoReadingsInPower_IsTheLevelOfTheirMeanPower()
    {
        DomainTable table = DomainTable.Build(AveragingDomain.Power, [-10, 0]);

        // (1 + 0.1) / 2 = 0.55: -2.59637 dB.
        Assert.Equal(10 * Math.Log10(0.55), table.MeanLevelDb((Int128)table[0] + table[1], 2), 1e-12);
    }

    [Fact]
    public void MeanLevelDb_TwoReadingsInVoltage_IsTheLevelOfTheirMeanVoltage()
    {
        DomainTable table = DomainTable.Build(AveragingDomain.Voltage, [-20, 0]);

        Assert.Equal(20 * Math.Log10(0.55), table.MeanLevelDb((Int128)table[0] + table[1], 2), 1e-12);
    }

    [Fact]
    public void MeanLevelDb_OneReadingInHalfAMillionWithoutInput_IsMinusInfinityWhateverTheOthersRead()
    {
        var level = DomainTable.Build(AveragingDomain.Level, [double.NegativeInfinity, 1_000]);

        Assert.Equal(double.NegativeInfinity, level.MeanLevelDb(((Int128)499_999 * level[1]) + level[0], 500_000));
    }

    [Fact]
    public void MeanLevelDb_OneReadingInAMillionWithoutInput_IsMinusInfinityInLevelOnly()
    {
        double[] levels = [double.NegativeInfinity, 30];
        DomainTable level = DomainTable.Build(AveragingDomain.Level, levels);
        DomainTable power = DomainTable.Build(AveragingDomain.Power, levels);

        Assert.Equal(double.NegativeInfinity, level.MeanLevelDb(((Int128)999_999 * level[1]) + level[0], 1_000_000));
        Assert.Equal(30, level.MeanLevelDb((Int128)1_000_000 * level[1], 1_000_000), 1e-9);
        Assert.Equal(30, power.MeanLevelDb(((Int128)999_999 * power[1]) + power[0], 1_000_000), 1e-5);
        Assert.Equal(double.NegativeInfinity, power.MeanLevelDb(power[0], 1));
    }

    [Theory]
    [InlineData(AveragingDomain.Voltage)]
    [InlineData(AveragingDomain.Power)]
    public void MakeLevels_AnyNumberOfMeans_EachAsItIsAlone(AveragingDomain domain)
    {
        DomainTable table = DomainTable.Build(domain, [-120, -40, 7]);
        double[] means = [0, -0.0, -1, double.NaN, double.Epsilon, 1e-18, 1e-6, 0.3, 0.5, 1, 1 - 1e-16, double.PositiveInfinity];
        for (int length = 0; length <= 40; length++)
        {
            double[] levels = [.. Enumerable.Range(0, length).Select(i => means[i % means.Length])];
            long[] expected = [.. levels.Select(mean => BitConverter.DoubleToInt64Bits(table.LevelOf(mean)))];

            table.MakeLevels(levels);

            Assert.Equal(expected, levels.Select(BitConverter.DoubleToInt64Bits));
        }

        double decibels = domain == AveragingDomain.Voltage ? 20 : 10;
        // The platform's logarithm, to some units in the last place of the largest level.
        foreach (double mean in means.Where(m => m > 0)) Assert.Equal(7 + (decibels * Math.Log10(mean)), table.LevelOf(mean), 1e-11);
        Assert.All(means.Where(m => m <= 0), mean => Assert.Equal(double.NegativeInfinity, table.LevelOf(mean)));
        Assert.True(double.IsNaN(table.LevelOf(double.NaN)));
    }

    [Fact]
    public void MeanOf_SumsOfAnySize_IsTheQuotient()
    {
        DomainTable table = DomainTable.Build(AveragingDomain.Power, [0]);
        foreach (int bits in (int[])[1, 30, 61, 62, 63, 64, 65, 80, 93])
        {
            foreach (Int128 off in (Int128[])[-1, 0, 1, 12_345])
            {
                foreach (int sign in (int[])[-1, 1])
                {
                    Int128 sum = sign * ((Int128.One << bits) + off);
                    double exact = (double)((System.Numerics.BigInteger)sum / 3) * Math.ScaleB(1, -62);
                    // Rounded up to four times; the integer quotient leaves out less than one.
                    Assert.Equal(exact, table.MeanOf(sum, 3), (Math.Abs(exact) * 4 * Math.ScaleB(1, -53)) + Math.ScaleB(1, -62));
                }
            }
        }
    }

    [Fact]
    public void MeansOf_SumsOfAnyNumberOfColumns_AreTheBitsOfEachAlone() =>
        Gen.Select(Gen.Long, Gen.ULong, Gen.Int[0, 127], Gen.Long[0, 1L << 40]).Array[0, 40].Sample(columns =>
        {
            foreach (AveragingDomain domain in Given.AllDomains)
            {
                DomainTable table = DomainTable.Build(domain, [-120, 7]);
                Int128[] sums = [.. columns.Select(c => new Int128((ulong)c.Item1, c.Item2) >> c.Item3)];
                long[] counts = [.. columns.Select(c => c.Item4 % 10 == 0 ? 0 : c.Item4)];
                double[] means = new double[columns.Length];

                table.MeansOf(sums, counts, means);

                for (int c = 0; c < means.Length; c++)
                {
                    double expected = counts[c] == 0 ? double.NaN : table.MeanOf(sums[c], counts[c]);
                    Assert.Equal(BitConverter.DoubleToInt64Bits(expected), BitConverter.DoubleToInt64Bits(means[c]));
                }
            }
        });

    [Fact]
    public void Level_TheLowestLevelThatMayBeStated_IsAReadingAndNotNoInput()
    {
        DomainTable table = DomainTable.Build(AveragingDomain.Level, [-1_000, 1_000, double.NegativeInfinity]);

        Assert.Equal(-1_000, table.MeanLevelDb(table[0], 1));
        Assert.Equal(-1_000, table.MeanLevelDb((Int128)table[0] * 1_000_000, 1_000_000));
        Assert.Equal(0, table.MeanLevelDb((Int128)table[0] + table[1], 2));
        Assert.Equal(double.NegativeInfinity, table.MeanLevelDb((Int128)table[0] + table[2], 2));
    }

    [Fact]
    public void Voltage_ReadingsAroundNoInput_CancelInTheMean()
    {
        // 95 mV is no input. Codes 85 and 105 lie 10 mV below and above: their mean voltage is none, their mean power is not.
        VerticalConverter converter = Given.Converter(Given.Voltage, AveragingDomain.Voltage, AveragingDomain.Power);
        DomainTable voltage = converter.Tables[(int)AveragingDomain.Voltage]!;
        DomainTable power = converter.Tables[(int)AveragingDomain.Power]!;

        Assert.Equal(0, (double)(voltage[85] + voltage[105]) * Math.ScaleB(1, -62), 1e-15);
        Assert.Equal(20 * Math.Log10(0.010 / 4), power.MeanLevelDb((Int128)power[85] + power[105], 2), 1e-9);
    }
}
