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

    [Fact]
    public void Write_AnyBits_FitsAndReadsBack()
    {
        var random = new Random(20_261_128);
        for (int i = 0; i < 100_000; i++)
        {
            double value = BitConverter.Int64BitsToDouble(random.NextInt64(long.MinValue, long.MaxValue));
            if (double.IsFinite(value)) Assert.Equal(value, double.Parse(Text(value), CultureInfo.InvariantCulture));
        }
    }

    private static string Text(double value)
    {
        byte[] bytes = new byte[NumberText.MostBytes];
        return Encoding.UTF8.GetString(bytes, 0, NumberText.Write(bytes, value));
    }
}
