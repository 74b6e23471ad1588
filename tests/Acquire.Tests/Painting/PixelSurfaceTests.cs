using Acquire.Painting;
using Acquire.Tests.Doubles;

namespace Acquire.Tests.Painting;

public class PixelSurfaceTests
{
    // Two pixels of two bytes and one byte between the rows; a part of it has the same rows.
    [Fact]
    public void StrideBytes_OfAPart_IsThatOfTheWhole()
    {
        var whole = new PixelSurface(new byte[15], 2, 3, 5, PixelFormat.Rgb565);

        Assert.Equal(5, whole.StrideBytes);
        Assert.Equal(5, whole.Slice(1, 1, 1, 2).StrideBytes);
    }

    [Fact]
    public void Set_Bgra8888_IsBlueGreenRedAlpha()
    {
        byte[] bytes = new byte[8];
        new PixelSurface(bytes, 2, 1, 8, PixelFormat.Bgra8888).Set(1, 0, new Colour(1, 2, 3));

        Assert.Equal([0, 0, 0, 0, 3, 2, 1, 255], bytes);
    }

    [Theory]
    [InlineData(255, 0, 0, 0x00, 0xF8)]
    [InlineData(0, 255, 0, 0xE0, 0x07)]
    [InlineData(0, 0, 255, 0x1F, 0x00)]
    [InlineData(255, 255, 255, 0xFF, 0xFF)]
    [InlineData(4, 2, 4, 0x00, 0x00)]
    [InlineData(5, 3, 5, 0x21, 0x08)] // just above half a step in each channel
    public void Set_Rgb565_RoundsToTheNearestStepAndPutsTheLowByteFirst(int red, int green, int blue, int low, int high)
    {
        byte[] bytes = new byte[2];
        new PixelSurface(bytes, 1, 1, 2, PixelFormat.Rgb565).Set(0, 0, new Colour((byte)red, (byte)green, (byte)blue));

        Assert.Equal([(byte)low, (byte)high], bytes);
    }

    [Fact]
    public void Get_Rgb565_OfEveryStep_ComesBack()
    {
        byte[] bytes = new byte[2];
        for (int value = 0; value <= ushort.MaxValue; value++)
        {
            bytes[0] = (byte)value;
            bytes[1] = (byte)(value >> 8);
            var surface = new PixelSurface(bytes, 1, 1, 2, PixelFormat.Rgb565);
            surface.Set(0, 0, surface.Get(0, 0));
            Assert.Equal(value, bytes[0] | (bytes[1] << 8));
        }
    }

    [Theory]
    [InlineData(PixelFormat.Rgb565)]
    [InlineData(PixelFormat.Bgra8888)]
    public void Fill_SubRectangleWithStride_TouchesNothingElse(PixelFormat format)
    {
        var picture = new Picture(5, 4, format);
        picture.Surface.Fill(new Colour(255, 0, 255));

        Assert.True(picture.BordersAreUntouched());
        for (int y = 0; y < 4; y++)
            for (int x = 0; x < 5; x++) Assert.Equal(new Colour(255, 0, 255), picture[x, y]);
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(9)]
    public void MoveDown_AnyNumberOfRows_MovesThemAndLeavesTheTop(int rows)
    {
        var picture = new Picture(2, 4);
        for (int y = 0; y < 4; y++) picture.Surface.Slice(0, y, 2, 1).Fill(new Colour((byte)y, 0, 0));
        picture.Surface.MoveDown(rows);

        for (int y = 0; y < 4; y++) Assert.Equal(y >= rows ? y - rows : y, picture[1, y].Red);
        Assert.True(picture.BordersAreUntouched());
    }

    [Fact]
    public void New_BadSizes_SaysValueAndFix()
    {
        byte[] bytes = new byte[31];
        Assert.Throws<ArgumentException>(() => _ = new PixelSurface(bytes, 0, 1, 8, PixelFormat.Rgb565).Width);
        Assert.Contains("4 pixels take 8", Assert.Throws<ArgumentException>(() => _ = new PixelSurface(bytes, 4, 1, 7, PixelFormat.Rgb565).Width).Message);
        Assert.Contains("need 32", Assert.Throws<ArgumentException>(() => _ = new PixelSurface(bytes, 4, 4, 8, PixelFormat.Rgb565).Width).Message);
        Assert.Throws<ArgumentException>(() => _ = new PixelSurface(bytes, 1, 1, 8, (PixelFormat)7).Width);
        Assert.Throws<ArgumentException>(() => _ = new PixelSurface(bytes, 3, 3, 8, PixelFormat.Rgb565).Slice(1, 0, 3, 1).Width);
        Assert.Throws<ArgumentException>(() => _ = new PixelSurface(bytes, 3, 3, 8, PixelFormat.Rgb565).Slice(0, 0, 3, 4).Width);
        Assert.Throws<ArgumentOutOfRangeException>(() => new PixelSurface(bytes, 3, 3, 8, PixelFormat.Rgb565).Set(3, 0, default));
        Assert.Throws<ArgumentOutOfRangeException>(() => new PixelSurface(bytes, 3, 3, 8, PixelFormat.Rgb565).Get(0, -1));
        Assert.Throws<ArgumentOutOfRangeException>(() => new PixelSurface(bytes, 3, 3, 8, PixelFormat.Rgb565).MoveDown(-1));
    }
}
