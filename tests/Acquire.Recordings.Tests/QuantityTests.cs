using System.Globalization;
using CsCheck;

namespace Acquire.Recordings.Tests;

public sealed class QuantityTests
{
    [Fact]
    public void Default_AsAFailedAttemptLeavesIt_IsAPlainZero()
    {
        Assert.False(Quantity.TryParse("nothing", out Quantity quantity, out _));

        Assert.Equal("", quantity.Unit);
        Assert.Equal("0", quantity.ToString());
        Assert.Equal(new Quantity(0, ""), quantity);
        Assert.Equal(new Quantity(1, "V"), quantity with { Value = 1, Unit = "V" });
    }

    [Theory]
    [InlineData("455 kHz", "455000", "Hz")]
    [InlineData("5kHz", "5000", "Hz")]
    [InlineData("100k", "100000", "")]
    [InlineData("0.8ms", "0.0008", "s")]
    [InlineData("-30 dBm", "-30", "dBm")]
    [InlineData("1 V", "1", "V")]
    [InlineData("  +1.50V ", "1.5", "V")]
    [InlineData("\u22125.5 V", "-5.5", "V")]
    [InlineData("5 m", "0.005", "")]
    [InlineData("5 s", "5", "s")]
    [InlineData("3 \u00B5s", "0.000003", "s")]
    [InlineData("3 \u03BCs", "0.000003", "s")]
    [InlineData("3us", "0.000003", "s")]
    [InlineData("1e6", "1000000", "")]
    [InlineData("2.5e-3 GHz", "2500000", "Hz")]
    [InlineData("1E", "1000000000000000000", "")]
    [InlineData("60 dB\u00B5V", "60", "dBuV")]
    [InlineData("50 \u03A9", "50", "Ohm")]
    [InlineData("4.7 kOhm", "4700", "Ohm")]
    [InlineData("0.5 scans", "0.5", "scans")]
    [InlineData(".5", "0.5", "")]
    [InlineData("0000.0001000", "0.0001", "")]
    [InlineData("0", "0", "")]
    [InlineData("79228162514264337593543950335", "79228162514264337593543950335", "")]
    [InlineData("0.0000000000000000000000000001", "0.0000000000000000000000000001", "")]
    public void Parse_WhatPeopleWrite_ExactInTheBaseUnit(string text, string value, string unit) =>
        Assert.Equal(new Quantity(decimal.Parse(value, CultureInfo.InvariantCulture), unit), Quantity.Parse(text));

    [Theory]
    [InlineData("", "does not begin with a number")]
    [InlineData("kHz", "does not begin with a number")]
    [InlineData("1.2.3", "does not begin with a number")]
    [InlineData("-", "does not begin with a number")]
    [InlineData("NaN", "does not begin with a number")]
    [InlineData("Infinity", "does not begin with a number")]
    [InlineData("1,5 V", "comma")]
    [InlineData("5 K", "small k")]
    [InlineData("5 KHz", "5 kHz")]
    [InlineData("5 kdB", "not known")]
    [InlineData("5 kkHz", "not known")]
    [InlineData("5 furlongs", "not known")]
    [InlineData("5 hz", "not known")]
    [InlineData("1e99", "too large")]
    [InlineData("1e999999999999", "too large")]
    [InlineData("1e-2147483648", "too many digits")]
    [InlineData("1e-40", "too many digits")]
    [InlineData("0.12345678901234567890123456789", "too many digits")]
    [InlineData("79228162514264337593543950336", "too large")]
    public void Parse_WhatIsNone_SaysWhy(string text, string reason)
    {
        Assert.False(Quantity.TryParse(text, out _, out string? problem));
        Assert.Contains(reason, problem, StringComparison.Ordinal);
        Assert.Throws<FormatException>(() => Quantity.Parse(text));
    }

    [Fact]
    public void ParseInUnit_OtherUnit_NamesBoth()
    {
        Assert.Equal(0.0008m, Quantity.Parse("0.8 ms", "s"));
        Assert.Equal(7m, Quantity.Parse("7", "V"));

        FormatException e = Assert.Throws<FormatException>(() => Quantity.Parse("5 kHz", "V"));

        Assert.Contains("is in Hz but V is wanted", e.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("455000", "Hz", "455 kHz")]
    [InlineData("0.0008", "s", "800 \u00B5s")]
    [InlineData("-30", "dBm", "-30 dBm")]
    [InlineData("1234.5", "", "1234.5")]
    [InlineData("0", "V", "0 V")]
    [InlineData("-1500", "V", "-1.5 kV")]
    public void ToString_PrefixAndSpace(string value, string unit, string text) =>
        Assert.Equal(text, new Quantity(decimal.Parse(value, CultureInfo.InvariantCulture), unit).ToString());

    // At most 12 digits before and 12 after the point, so that any prefix keeps the value exact.
    private static readonly Gen<decimal> Values =
        Gen.Select(Gen.Long[-999_999_999_999, 999_999_999_999], Gen.Int[0, 12])
            .Select((digits, scale) => new decimal((int)(Math.Abs(digits) & 0xFFFFFFFF), (int)(Math.Abs(digits) >> 32), 0, digits < 0, (byte)scale));

    [Fact]
    public void ToString_AnyValueAndUnit_ParsesBackToTheSame() =>
        Gen.Select(Values, Gen.OneOf(Gen.Const("Hz"), Gen.Const("V"), Gen.Const("s"), Gen.Const("dBm"), Gen.Const("dB"), Gen.Const(""))).Sample((value, unit) =>
            Quantity.Parse(new Quantity(value, unit).ToString()) == new Quantity(value, unit));

    [Fact]
    public void Parse_AnyText_NeverThrowsAnythingElse() =>
        Gen.OneOf(Gen.String, Gen.String[Gen.Char["0123456789+-.eEkmMGu Hzsd\u00B5"], 0, 12]).Sample(text =>
        {
            bool parsed = Quantity.TryParse(text, out Quantity quantity, out string? problem);
            return parsed ? problem is null && Quantity.Parse(quantity.ToString()).Unit == quantity.Unit : problem!.IndexOfAny(['\n', '\r']) < 0;
        }, iter: 5_000);
}
