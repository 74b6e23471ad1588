using Acquire.Painting;
using Acquire.Tests.Models;

namespace Acquire.Tests.Painting;

public class ColourTests
{
    // IEC 61966-2-1, decoded codes.
    [Theory]
    [InlineData(1, 0.000303526984)]
    [InlineData(10, 0.00303526984)]
    [InlineData(11, 0.00334653576)]
    [InlineData(64, 0.0512694584)]
    [InlineData(127, 0.212230757)]
    [InlineData(128, 0.2158605)]
    [InlineData(188, 0.502886458)]
    [InlineData(200, 0.57758044)]
    public void Decode_Code_IsTheStandardsLight(int code, double light)
    {
        Assert.Equal(light, SrgbTransfer.Decode((byte)code), 2e-9);
        Assert.Equal(code, SrgbTransfer.Encode(light));
    }

    [Fact]
    public void Encode_EveryCode_ComesBack()
    {
        for (int code = 0; code <= 255; code++) Assert.Equal(code, SrgbTransfer.Encode(SrgbTransfer.Decode((byte)code)));
        Assert.Equal((0, 255), (SrgbTransfer.Encode(-0.1), SrgbTransfer.Encode(1.1)));
    }

    // Ottosson 2020; CSS Color 4.
    [Theory]
    [InlineData(255, 0, 0, 0.627955, 0.224863, 0.125846)]
    [InlineData(0, 255, 0, 0.866440, -0.233888, 0.179498)]
    [InlineData(0, 0, 255, 0.452014, -0.032457, -0.311528)]
    [InlineData(119, 119, 119, 0.569262, 0, 0)]
    [InlineData(255, 255, 255, 1, 0, 0)]
    public void ToOkLab_Colour_IsThePublishedValue(int red, int green, int blue, double l, double a, double b)
    {
        OkLab found = new Colour((byte)red, (byte)green, (byte)blue).ToOkLab();

        // The published digits, and the rounding of the published matrices for greys.
        Assert.Equal(l, found.L, 1e-6);
        Assert.Equal(a, found.A, 1e-6);
        Assert.Equal(b, found.B, 1e-6);
    }

    [Fact]
    public void From_OkLabOfAnyColour_ComesBack()
    {
        for (int red = 0; red < 256; red += 15)
            for (int green = 0; green < 256; green += 15)
                for (int blue = 0; blue < 256; blue += 15)
                {
                    var colour = new Colour((byte)red, (byte)green, (byte)blue);
                    Assert.Equal(colour, Colour.From(colour.ToOkLab()));
                }
    }

    // WCAG 2.2, contrast on white.
    [Theory]
    [InlineData(0x000000, 21)]
    [InlineData(0x777777, 4.47809)]
    [InlineData(0x767676, 4.54222)]
    [InlineData(0x595959, 7.00473)]
    [InlineData(0x949494, 3.03347)]
    [InlineData(0xFF0000, 3.99848)]
    [InlineData(0x0000FF, 8.59247)]
    [InlineData(0x00FF00, 1.37219)]
    [InlineData(0xFFFF00, 1.07384)]
    public void ContrastWith_White_IsThePublishedRatio(int rgb, double ratio)
    {
        var white = new Colour(255, 255, 255);
        var colour = new Colour((byte)(rgb >> 16), (byte)(rgb >> 8), (byte)rgb);

        Assert.Equal(ratio, colour.ContrastWith(white), 5e-6);
        Assert.Equal(ratio, white.ContrastWith(colour), 5e-6);
    }

    // CIE 15 and ISO/CIE 11664-4 under D65; 0.03 because the values depend on the digits of the matrix.
    [Theory]
    [InlineData(255, 0, 0, 53.24, 80.09, 67.20)]
    [InlineData(0, 255, 0, 87.74, -86.18, 83.19)]
    [InlineData(0, 0, 255, 32.30, 79.19, -107.86)]
    [InlineData(255, 255, 0, 97.14, -21.56, 94.48)]
    public void CieLab_Primary_IsThePublishedValue(int red, int green, int blue, double l, double a, double b)
    {
        var found = CieLab.Of(new Colour((byte)red, (byte)green, (byte)blue));

        Assert.Equal(l, found.L, 0.03);
        Assert.Equal(a, found.A, 0.03);
        Assert.Equal(b, found.B, 0.03);
    }

    [Fact]
    public void CieLab_Grey128_HasThePublishedLightness() => Assert.Equal(53.585, CieLab.Of(new Colour(128, 128, 128)).L, 0.03);

    // Sharma, Wu and Dalal 2005, some of the published pairs.
    [Theory]
    [InlineData(50, 2.6772, -79.7751, 50, 0, -82.7485, 2.0425)]
    [InlineData(50, 3.1571, -77.2803, 50, 0, -82.7485, 2.8615)]
    [InlineData(50, 2.8361, -74.02, 50, 0, -82.7485, 3.4412)]
    [InlineData(50, 0, 0, 50, -1, 2, 2.3669)]
    [InlineData(50, 2.5, 0, 73, 25, -18, 27.1492)]
    [InlineData(2.0776, 0.0795, -1.135, 0.9033, -0.0636, -0.5514, 0.9082)]
    public void Ciede2000_Pair_IsThePublishedDifference(double l1, double a1, double b1, double l2, double a2, double b2, double difference)
    {
        var first = new CieLab(l1, a1, b1);
        var second = new CieLab(l2, a2, b2);

        Assert.Equal(difference, first.DifferenceTo(second), 5e-5);
        Assert.Equal(difference, second.DifferenceTo(first), 5e-5);
    }
}
