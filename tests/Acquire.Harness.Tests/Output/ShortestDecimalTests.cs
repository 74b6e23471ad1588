using System.Globalization;
using Acquire.Harness.Output;

namespace Acquire.Harness.Tests.Output;

/// <summary>Seventeen digits, the last of them zeros where fewer say the same.</summary>
public sealed class ShortestDecimalTests
{
    [Theory]
    [InlineData(1.0, 10_000_000_000_000_000, 16)]
    [InlineData(0.1, 10_000_000_000_000_000, 17)]
    [InlineData(4_095.0, 40_950_000_000_000_000, 13)]
    [InlineData(1.0 / 3, 33_333_333_333_333_330, 17)]
    [InlineData(0.00390625, 39_062_500_000_000_000, 19)] // 2^-8, the least
    [InlineData(9.0000152587890625, 90_000_152_587_890_620, 16)] // 9 + 2^-16: the middle of two decimals, of which the even one is taken
    public void Of_Value_HasItsDigits(double value, ulong digits, int decimals)
    {
        Assert.Equal(digits, ShortestDecimal.Of(value, out int found));
        Assert.Equal(decimals, found);
    }

    // IEEE 754, 5.12.2: what is read back is the double nearest to the decimal, which the platform's own reading finds.
    [Fact]
    public void Of_AnyValue_ReadsBackAndHasNoShorterBesideIt()
    {
        var random = new Random(20_261_130);
        for (int i = 0; i < 100_000; i++)
        {
            double value = Math.ScaleB(1 + random.NextDouble(), random.Next(-8, 30));

            ulong digits = ShortestDecimal.Of(value, out int decimals);

            Assert.Equal(value, Read(digits, decimals));
            ulong place = 1;
            while (digits % (place * 10) == 0) place *= 10;
            ulong shorter = digits - (digits % (place * 10));
            Assert.NotEqual(value, Read(shorter, decimals));
            Assert.NotEqual(value, Read(shorter + (place * 10), decimals));
        }
    }

    private static double Read(ulong digits, int decimals) =>
        double.Parse(string.Create(CultureInfo.InvariantCulture, $"{digits}E-{decimals}"), NumberStyles.Float, CultureInfo.InvariantCulture);
}
