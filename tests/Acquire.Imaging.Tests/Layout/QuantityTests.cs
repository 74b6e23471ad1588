using Acquire.Imaging.Layout;

namespace Acquire.Imaging.Tests.Layout;

public class QuantityTests
{
    [Theory]
    [InlineData(24_987, "Hz", 10, "24.99\u00A0kHz")]
    [InlineData(24_987, "Hz", 1, "24.987\u00A0kHz")]
    [InlineData(162_085, "Hz", 10, "162.09\u00A0kHz")]
    [InlineData(-0.0031, "V", 0.00001, "−3.10\u00A0mV")]
    [InlineData(2.5e-6, "s", 1e-8, "2.50\u00A0µs")]
    [InlineData(-85.124, "dBm", 0.01, "−85.12\u00A0dBm")]
    [InlineData(12_345, "", 1, "12\u202F345")]
    [InlineData(1_234, "", 1, "1234")]
    [InlineData(0, "Hz", 1, "0\u00A0Hz")]
    [InlineData(double.NaN, "dB", 1, "–")]
    [InlineData(-0.001, "dB", 0.01, "0.00\u00A0dB")]
    public void Resolved_Value_PrintedWithPrefixAndDecimals(double value, string unit, double resolution, string expected) =>
        Assert.Equal(expected, Quantity.Resolved(value, unit, resolution));

    [Theory]
    [InlineData(0.40023, "s", 5, "400.23\u00A0ms")]
    [InlineData(60, "s", 5, "60\u00A0s")]
    [InlineData(999.9999999999, "Hz", 4, "1\u00A0kHz")]
    [InlineData(1_000, "Hz", 3, "1\u00A0kHz")]
    [InlineData(2.5, "", 4, "2.5")]
    [InlineData(1_234_567, "V", 3, "1.23\u00A0MV")]
    public void Significant_Value_PrintedWithoutIdleZeros(double value, string unit, int digits, string expected) =>
        Assert.Equal(expected, Quantity.Significant(value, unit, digits));
}
