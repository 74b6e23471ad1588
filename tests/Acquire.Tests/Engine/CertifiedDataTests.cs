using System.Globalization;
using System.Numerics;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Tests.Doubles;
using Acquire.Traces;

namespace Acquire.Tests.Engine;

/// <summary>Certified data sets through the engine: NIST/ITL Statistical Reference Datasets, univariate, with their printed certified values.</summary>
public class CertifiedDataTests
{
    // Value = offset + code / factor, chosen so that every value is a whole code of 12 bits.
    [Theory]
    [InlineData("NumAcc1", 10_000_000, 1, 3)]
    [InlineData("NumAcc2", 0, 10, 1_001)]
    [InlineData("NumAcc3", 1_000_000, 10, 1_001)]
    [InlineData("NumAcc4", 10_000_000, 10, 1_001)]
    [InlineData("Michelso", 299, 100, 100)]
    [InlineData("Lottery", 0, 1, 218)]
    [InlineData("Lew", -1_000, 1, 200)]
    [InlineData("Mavro", 2, 10_000, 50)]
    public void Column_NistUnivariateData_HasTheCertifiedMeanAndDeviation(string name, int offset, int factor, int count)
    {
        (decimal[] values, decimal certifiedMean, decimal certifiedDeviation) = Read(Shared.Reference($"nist/{name}.dat"));
        Assert.Equal(count, values.Length);
        ushort[] codes = [.. values.Select(v => (v - offset) * factor).Select(c => decimal.IsInteger(c) ? (ushort)c : throw new InvalidDataException($"{c}"))];

        // Two columns: the data and the data backwards.
        var sink = new SweepRecord();
        var engine = new SweepEngine(
            new Setup
            {
                Sweep = new SweepOptions { Mode = SweepMode.Time, TimeSpan = 2 * count },
                Columns = new ColumnOptions { ColumnCount = 2 },
                Verticals = [new VerticalScale { Volts = new CodeVolts(0, 4_095m / factor) }],
            },
            sink, 1 << 12);
        foreach (ushort code in codes.Concat(codes.Reverse())) engine.Process([0, code]);

        ColumnStatistics columns = Assert.Single(sink.Sweeps).Verticals[0];
        double[] volts = new double[2];
        var reader = new ColumnValues(engine.Verticals[0]);
        Assert.Equal(ValueAvailability.Available, reader.Read(columns, new ValueChoice(Detector.Average, ValueUnit.Volts), volts));
        for (int c = 0; c < 2; c++)
        {
            Assert.Equal(count, columns.Counts[c]);
            // The sums are whole numbers, so mean and deviation follow exactly; the certified values are printed with 15 digits.
            decimal mean = offset + (columns.CodeSums[c] / (decimal)count / factor);
            BigInteger spread = (count * (BigInteger)columns.CodeSquareSums[c]) - BigInteger.Pow(columns.CodeSums[c], 2);
            double deviation = Math.Sqrt((double)spread / ((double)count * (count - 1))) / factor;
            AssertDigits(certifiedMean, mean);
            Assert.Equal((double)certifiedDeviation, deviation, (double)certifiedDeviation * 1e-14);
            Assert.Equal((double)certifiedMean, offset + volts[c], Math.Abs((double)certifiedMean) * 1e-14);
        }
    }

    private static void AssertDigits(decimal certified, decimal actual)
    {
        // Half a unit of the last printed digit.
        decimal unit = 1;
        for (int i = 0; i < certified.Scale; i++) unit /= 10;
        Assert.InRange(actual, certified - (unit / 2), certified + (unit / 2));
    }

    private static (decimal[] Values, decimal Mean, decimal Deviation) Read(string path)
    {
        string[] lines = File.ReadAllLines(path);
        int lastRule = Array.FindLastIndex(lines, l => l.Contains("-----", StringComparison.Ordinal));
        decimal[] values = [.. lines[(lastRule + 1)..].Where(l => l.Trim().Length > 0).Select(l => decimal.Parse(l, NumberStyles.Float, CultureInfo.InvariantCulture))];
        return (values, Certified("Sample Mean"), Certified("Sample Standard Deviation"));

        decimal Certified(string what) =>
            decimal.Parse(lines.First(l => l.StartsWith(what, StringComparison.Ordinal)).Split(':', ' ')[^1], NumberStyles.Float, CultureInfo.InvariantCulture);
    }
}
