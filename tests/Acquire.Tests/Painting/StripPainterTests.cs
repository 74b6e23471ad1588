using Acquire.Columns;
using Acquire.Painting;
using Acquire.Tests.Doubles;
using CsCheck;

namespace Acquire.Tests.Painting;

public class StripPainterTests
{
    private static readonly Gen<float> Value = Gen.Frequency((1, Gen.Const(float.NaN)), (8, Gen.Float[-0.2f, 1.2f]));

    private static readonly Gen<Given> Pictures =
        Gen.OneOf(Gen.Int[2, 30], Gen.Int[31, 400]).SelectMany(n => Gen.Select(
            Gen.Select(Value.Array[n], Gen.Float[0f, 0.3f].Array[n], Gen.Float[0f, 0.3f].Array[n], Value.Array[n]), Gen.Byte[0, 7].Array[n], Gen.Int[0, 31].Array[n], Gen.Int[-1, n], Gen.Bool))
        .Select((lines, shades, marks, border, down) => new Given(
            lines.Item1, [.. lines.Item1.Zip(lines.Item2, (v, d) => v - d)], [.. lines.Item1.Zip(lines.Item3, (v, d) => v + d)], lines.Item4, shades, [.. marks.Select(m => (ColumnMarks)m)], border, down));

    // What happens to a picture between two looks: to some columns in a row, or to the front.
    private static readonly Gen<(int What, double Where, int Columns, float Value)[]> Changes =
        Gen.Select(Gen.Int[0, 8], Gen.Double[0, 1], Gen.Int[1, 3], Value).Array[0, 12];

    [Fact]
    public void Paint_AnyPictures_AreWhatEachPixelMixedByItselfGives() =>
        Gen.Select(Pictures.Array[1, 3], Gen.Int[1, 25], Gen.Int[1, 20], Gen.Double[1, 4], Gen.Bool).Sample((pictures, width, height, line, small) =>
        {
            var options = new TracePainterOptions { LinePixels = line, GapPixels = 2, GridRows = [0.3, 1], GridColumns = [0.5] };
            var picture = new Picture(width, height, small ? PixelFormat.Rgb565 : PixelFormat.Bgra8888);
            var painter = new StripPainter(options);
            return pictures.All(given => IsPaintedPlainly(given, painter, options, picture));
        });

    [Fact]
    public void Paint_FewColumnsOrTheFrontChange_IsWhatEachPixelMixedByItselfGives() =>
        Gen.Select(Pictures, Gen.Int[1, 250], Gen.Int[1, 12], Gen.Int[0, 9], Changes).Sample((given, width, height, gap, changes) =>
        {
            var options = new TracePainterOptions { GapPixels = gap, GridRows = [0.3, 1], GridColumns = [0.5] };
            var picture = new Picture(width, height);
            var painter = new StripPainter(options);
            if (!IsPaintedPlainly(given, painter, options, picture)) return false;
            foreach ((int what, double where, int columns, float value) in changes)
            {
                given = Change(given, what, where, columns, value);
                if (!IsPaintedPlainly(given, painter, options, picture)) return false;
            }

            return true;
        }, iter: 400);

    private static Given Change(Given given, int what, double where, int columns, float value)
    {
        int last = given.Values.Length - 1;
        int first = (int)(where * last);
        for (int c = first; c < Math.Min(first + columns, last + 1); c++)
        {
            switch (what)
            {
                case 0: given.Values[c] = value; break;
                case 1: given.Highs[c] = value; break;
                case 2: given.Lows[c] = value; break;
                case 3: given.Reference[c] = value; break;
                case 4: given.Shades[c] = (byte)((given.Shades[c] + columns) % 8); break;
                case 5: given.Marks[c] ^= (ColumnMarks)(1 << (columns - 1)); break;
            }
        }

        return what switch
        {
            6 => given with { Border = Math.Min(last + 1, given.Border + columns) },
            7 => given with { Border = first - 1 },
            8 => given with { MovesDown = !given.MovesDown },
            _ => given,
        };
    }

    private static bool IsPaintedPlainly(Given given, StripPainter painter, TracePainterOptions options, Picture picture)
    {
        TracePicture trace = new()
        {
            Values = given.Values,
            Lows = given.Lows,
            Highs = given.Highs,
            Reference = given.Reference,
            Shades = given.Shades,
            Marks = given.Marks,
            FrontBorder = given.Border,
            FrontMovesDown = given.MovesDown,
        };
        painter.Paint(trace, picture.Surface);
        var plain = new Picture(picture.Width, picture.Height, picture.Format);
        PaintPlainly(trace, options, plain.Surface);
        return plain.SamePixels(picture);
    }

    private static void PaintPlainly(in TracePicture trace, TracePainterOptions options, PixelSurface pixels)
    {
        SheetColours sheet = options.Colours;
        int width = pixels.Width, height = pixels.Height;
        var strips = new TraceStrip[width];
        new StripBuilder(strips, trace.Values.Length, height, (int)Math.Round(options.LinePixels * 16), new ColumnRange(0, width)).Build(trace, options.GapPixels);
        int[] gridRows = [.. options.GridRows.Select(p => height - 1 - (int)Math.Round(p * (height - 1)))];
        int[] gridColumns = [.. options.GridColumns.Select(p => Math.Min(width - 1, (int)(p * width)))];
        for (int y = 0; y < pixels.Height; y++)
        {
            for (int x = 0; x < pixels.Width; x++)
            {
                TraceStrip strip = strips[x];
                Colour colour = gridRows.Contains(y) || gridColumns.Contains(x) ? sheet.Grid : sheet.Paper;
                colour = colour.CoveredBy(sheet.Wash, strip.Band.CoverageOf(y));
                bool hatch = (strip.Marks & ColumnMarks.Suspect) != ColumnMarks.None && (x + y) % 8 == 0;
                bool dot = (strip.Marks & ColumnMarks.Settling) != ColumnMarks.None && x % 4 < 2 && (y == height - 4 || y == height - 5);
                bool dash = (strip.Marks & ColumnMarks.Provisional) != ColumnMarks.None && x % 12 < 8 && y >= height - 2;
                if (hatch || dot || dash) colour = sheet.Mark;
                if (x % 10 < 6) colour = colour.CoveredBy(sheet.Reference, strip.Reference.CoverageOf(y));
                colour = colour.CoveredBy(sheet.Inks[strip.StaleShade], strip.Stale.CoverageOf(y));
                pixels.Set(x, y, colour.CoveredBy(sheet.Ink, strip.Fresh.CoverageOf(y)));
            }
        }
    }

    private sealed record Given(
        float[] Values, float[] Lows, float[] Highs, float[] Reference, byte[] Shades, ColumnMarks[] Marks, int Border, bool MovesDown);
}
