using System.Globalization;
using System.Text;
using Acquire.Harness.Output;

namespace Acquire.Harness.Tests.Output;

/// <summary>Numbers are the shortest text that reads back to the same value, and fit the room asked for.</summary>
public sealed class NumberTextTests
{
    [Theory]
    [InlineData(0.0, "0")]
    [InlineData(-0.0, "-0")]
    [InlineData(0.1, "0.1")]
    [InlineData(-12.5, "-12.5")]
    [InlineData(1.0 / 3, "0.3333333333333333")]
    [InlineData(4_095.0, "4095")]
    [InlineData(1e23, "1E+23")]
    [InlineData(5e-324, "5E-324")]
    public void Write_Number_IsItsShortestText(double value, string text) => Assert.Equal(text, Text(value));

    [Theory]
    [InlineData(long.MinValue, "-9223372036854775808")]
    [InlineData(long.MaxValue, "9223372036854775807")]
    [InlineData(0, "0")]
    public void Write_WholeNumber_IsItsText(long value, string text)
    {
        byte[] bytes = new byte[NumberText.MostBytes];
        Assert.Equal(text, Encoding.UTF8.GetString(bytes, 0, NumberText.Write(bytes, value)));
    }

    [Theory]
    [InlineData(1e-4)]
    [InlineData(1e-6)]
    [InlineData(ShortestDecimal.Least)]
    [InlineData(0.01)]
    [InlineData(0.1)]
    [InlineData(1)]
    [InlineData(1e6)]
    [InlineData(1e9)]
    [InlineData(ShortestDecimal.End)]
    [InlineData(1e15)]
    [InlineData(double.Epsilon)]
    [InlineData(double.MaxValue)]
    public void Write_BesideABound_IsWhatThePlatformWrites(double bound)
    {
        double value = bound;
        for (int i = 0; i < 100 && double.IsFinite(value); i++, value = Math.BitIncrement(value)) AssertIsThePlatforms(value);
        value = bound;
        for (int i = 0; i < 100; i++, value = Math.BitDecrement(value)) AssertIsThePlatforms(value);
    }

    [Fact]
    public void Write_DecimalOrItsNeighbour_IsWhatThePlatformWrites()
    {
        var random = new Random(20_261_128);
        for (int i = 0; i < 100_000; i++)
        {
            // One to sixteen digits, none to eight of them decimals.
            double value = random.NextInt64(1L << random.Next(1, 54)) / Math.Pow(10, random.Next(9));
            AssertIsThePlatforms(value);
            AssertIsThePlatforms(-Math.BitIncrement(value));
            AssertIsThePlatforms(Math.BitDecrement(value));
        }
    }

    [Fact]
    public void Write_MeanOfCodes_IsWhatThePlatformWrites()
    {
        var random = new Random(20_261_128);
        for (int scans = 1; scans <= 128; scans++)
            for (int i = 0; i < 500; i++) AssertIsThePlatforms((double)random.Next(65_536 * scans) / scans);
    }

    [Fact]
    public void Write_EveryCode_IsWhatThePlatformWrites()
    {
        for (int code = 0; code <= ushort.MaxValue; code++)
        {
            AssertIsThePlatforms(code);
            AssertIsThePlatforms(-code / 65_535.0);
        }
    }

    [Fact]
    public void Write_PowerOfTwoOrItsNeighbour_IsWhatThePlatformWrites()
    {
        for (int exponent = -60; exponent <= 60; exponent++)
        {
            double value = Math.ScaleB(1, exponent);
            foreach (double beside in new[] { Math.BitDecrement(value), value, Math.BitIncrement(value) }) AssertIsThePlatforms(beside);
        }
    }

    // Between 8 and 16 doubles are 2^-49 apart, so that of two decimals with 15 places that read back, a multiple of 2^-16 can lie in the middle.
    [Fact]
    public void Write_MiddleOfTwoDecimals_IsWhatThePlatformWrites()
    {
        for (int i = 1; i < 65_536; i++) AssertIsThePlatforms(8 + (i % 8) + (i / 65_536.0));
    }

    [Fact]
    public void Write_RootOfAMeanSquare_IsWhatThePlatformWrites()
    {
        var random = new Random(20_261_130);
        for (int i = 0; i < 200_000; i++)
        {
            double meanSquare = random.NextInt64(1L << random.Next(1, 37)) / (double)random.Next(1, 41);
            AssertIsThePlatforms(Math.Sqrt(meanSquare));
            AssertIsThePlatforms(-Math.Sqrt(meanSquare) / 4_095);
        }
    }

    [Fact]
    public void Write_AnySizeOfAReading_IsWhatThePlatformWrites()
    {
        var random = new Random(20_261_130);
        for (int i = 0; i < 500_000; i++) AssertIsThePlatforms(Math.ScaleB(random.NextDouble() - 0.5, random.Next(-10, 35)));
    }

    [Fact]
    public void Write_AnyBits_FitsAndIsWhatThePlatformWrites()
    {
        var random = new Random(20_261_128);
        for (int i = 0; i < 100_000; i++)
        {
            double value = BitConverter.Int64BitsToDouble(random.NextInt64(long.MinValue, long.MaxValue));
            if (double.IsFinite(value)) AssertIsThePlatforms(value);
        }
    }

    private static void AssertIsThePlatforms(double value) => Assert.Equal(value.ToString("R", CultureInfo.InvariantCulture), Text(value));

    private static string Text(double value)
    {
        byte[] bytes = new byte[NumberText.MostBytes];
        return Encoding.UTF8.GetString(bytes, 0, NumberText.Write(bytes, value));
    }
}
