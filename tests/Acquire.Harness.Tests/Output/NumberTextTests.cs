using System.Globalization;
using System.Text;
using Acquire.Harness.Output;

namespace Acquire.Harness.Tests.Output;

/// <summary>Numbers are written as the platform writes the shortest text that reads back.</summary>
public sealed class NumberTextTests
{
    private const int Draws = 300_000;

    [Theory]
    [InlineData(0.0)]
    [InlineData(0.1)]
    [InlineData(-0.1)]
    [InlineData(0.3)]
    [InlineData(1.0 / 3)]
    [InlineData(2.0 / 3)]
    [InlineData(0.0009765625)]
    [InlineData(0.00097656249999999989)]
    [InlineData(0.0009765625000000002)]
    [InlineData(1e-5)]
    [InlineData(123456.789)]
    [InlineData(999999999999999.9)]
    [InlineData(999999999999999.0)]
    [InlineData(1e15)]
    [InlineData(1e16)]
    [InlineData(1e23)]
    [InlineData(536870912.00390625)]
    [InlineData(134217728.01171875)]
    [InlineData(9007199254740993.0)]
    [InlineData(5e-324)]
    [InlineData(double.MaxValue)]
    [InlineData(double.MinValue)]
    public void Write_Number_IsThePlatformsText(double value) => Assert.Equal(Platform(value), Text(value));

    [Fact]
    public void Write_PowersOfTwoAndTheirNeighbours_AreThePlatformsText()
    {
        for (int power = -1_074; power <= 1_023; power++)
        {
            double value = Math.ScaleB(1, power);
            foreach (double near in (double[])[value, Math.BitDecrement(value), Math.BitIncrement(value), -value])
                Assert.Equal(Platform(near), Text(near));
        }
    }

    [Fact]
    public void Write_MinusZero_KeepsItsSign() => Assert.Equal(Platform(-0.0), Text(-0.0));

    [Fact]
    public void Write_AnyBits_AreThePlatformsText() => Draw(random => BitConverter.Int64BitsToDouble(random.NextInt64(long.MinValue, long.MaxValue)));

    [Fact]
    public void Write_PlainNumbersOfAnySize_AreThePlatformsText() => Draw(random => (random.NextDouble() - 0.5) * Math.Pow(10, random.Next(-5, 17)));

    [Fact]
    public void Write_MeansOfCodes_AreThePlatformsText() => Draw(random => (double)random.Next(1, 1 << 22) / random.Next(1, 400));

    [Fact]
    public void Write_Roots_AreThePlatformsText() => Draw(random => Math.Sqrt(random.Next(1, 1 << 30) / (double)random.Next(1, 64)));

    [Fact]
    public void Write_ShortDecimals_AreThePlatformsText() =>
        Draw(random => double.Parse(string.Create(CultureInfo.InvariantCulture, $"{random.NextInt64(1_000_000_000)}E-{random.Next(0, 13)}"), CultureInfo.InvariantCulture));

    [Fact]
    public void Write_HalvesOfLastPlaces_AreThePlatformsText() => Draw(random => random.NextInt64(1L << 40) + (random.Next(1 << 12) / (double)(1 << random.Next(1, 13))));

    [Theory]
    [InlineData(0L, "0")]
    [InlineData(-7L, "-7")]
    [InlineData(long.MinValue, "-9223372036854775808")]
    public void Write_WholeNumber_IsItsDigits(long value, string text)
    {
        byte[] bytes = new byte[NumberText.MostBytes];
        Assert.Equal(text, Encoding.UTF8.GetString(bytes, 0, NumberText.Write(bytes, value)));
    }

    private static void Draw(Func<Random, double> next)
    {
        Random random = new(20_261_128);
        for (int i = 0; i < Draws; i++)
        {
            double value = next(random);
            if (double.IsFinite(value) && Platform(value) != Text(value)) Assert.Equal(Platform(value), Text(value));
        }
    }

    private static string Platform(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    private static string Text(double value)
    {
        byte[] bytes = new byte[NumberText.MostBytes];
        return Encoding.UTF8.GetString(bytes, 0, NumberText.Write(bytes, value));
    }
}
