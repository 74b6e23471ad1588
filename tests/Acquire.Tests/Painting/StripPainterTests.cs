using Acquire.Painting;
using Acquire.Tests.Doubles;
using CsCheck;

namespace Acquire.Tests.Painting;

public class StripPainterTests
{
    private static readonly Gen<float> Value = Gen.Frequency((1, Gen.Const(float.NaN)), (8, Gen.Float[-0.2f, 1.2f]));

    private static readonly Gen<(float[] Values, float[] Lows, float[] Highs, float[] Reference, byte[] Shades, int Border)> Pictures =
        Gen.Int[2, 30].SelectMany(n => Gen.Select(
            Value.Array[n], Gen.Float[0f, 0.3f].Array[n], Gen.Float[0f, 0.3f].Array[n], Value.Array[n], Gen.Byte[0, 7].Array[n], Gen.Int[-1, n]))
        .Select((v, l, h, r, s, b) => (v, v.Zip(l, (x, d) => x - d).ToArray(), v.Zip(h, (x, d) => x + d).ToArray(), r, s, b));

    [Fact]
    public void Paint_AnyPictures_AreWhatEachPixelMixedByItselfGives()
    {
        Gen.Select(Pictures.Array[1, 3], Gen.Int[1, 25], Gen.Int[1, 20], Gen.Double[1, 4], Gen.Bool).Sample((pictures, width, height, line, small) =>
        {
            var options = new TracePainterOptions { LinePixels = line, GapPixels = 2, GridRows = [0.3, 1], GridColumns = [0.5] };
            var picture = new Picture(width, height, small ? PixelFormat.Rgb565 : PixelFormat.Bgra8888);
            var painter = new StripPainter(options);
            foreach (var given in pictures)
            {
                TracePicture trace = new()
                {
                    Values = given.Values,
                    Lows = given.Lows,
                    Highs = given.Highs,
                    Reference = given.Reference,
                    Shades = given.Shades,
                    FrontBorder = given.Border,
                };
                painter.Paint(trace, picture.Surface);
                var plain = new Picture(width, height, picture.Format);
                PaintPlainly(trace, options, plain.Surface);
                Assert.True(plain.SamePixels(picture));
            }
        });
    }

    private static void PaintPlainly(in TracePicture trace, TracePainterOptions options, PixelSurface pixels)
    {
        SheetColours sheet = options.Colours;
        int width = pixels.Width, height = pixels.Height;
        var strips = new TraceStrip[width];
        new StripBuilder(strips, trace.Values.Length, height, (int)Math.Round(options.LinePixels * 16)).Build(trace, options.GapPixels);
        int[] gridRows = [.. options.GridRows.Select(p => height - 1 - (int)Math.Round(p * (height - 1)))];
        int[] gridColumns = [.. options.GridColumns.Select(p => Math.Min(width - 1, (int)(p * width)))];
        for (int y = 0; y < pixels.Height; y++)
        {
            for (int x = 0; x < pixels.Width; x++)
            {
                TraceStrip strip = strips[x];
                Colour colour = gridRows.Contains(y) || gridColumns.Contains(x) ? sheet.Grid : sheet.Paper;
                colour = colour.CoveredBy(sheet.Wash, strip.Band.CoverageOf(y));
                if (x % 10 < 6) colour = colour.CoveredBy(sheet.Reference, strip.Reference.CoverageOf(y));
                colour = colour.CoveredBy(sheet.Inks[strip.StaleShade], strip.Stale.CoverageOf(y));
                pixels.Set(x, y, colour.CoveredBy(sheet.Ink, strip.Fresh.CoverageOf(y)));
            }
        }
    }
}
