using Acquire.Painting;
using CsCheck;

namespace Acquire.Tests.Painting;

public class StripBuilderTests
{
    private static readonly Gen<(int Width, float[] Values)> GenTrace =
        from width in Gen.Int[1, 90]
        from columns in Gen.OneOf(Gen.Int[1, 12], Gen.Int[13, 300])
        from values in Gen.OneOf(Gen.Float[0, 1], Gen.Float[0, 1], Gen.Const(float.NaN)).Array[columns]
        select (width, values);

    [Fact]
    public void Build_AnyTrace_CoversTheValueOfEveryColumnWhereItsCentreLies() =>
        GenTrace.Sample((width, values) =>
        {
            TraceStrip[] strips = Build(width, values);
            for (int c = 0; c < values.Length; c++)
            {
                if (float.IsNaN(values[c])) continue;
                int row = (int)Math.Round(((1 - values[c]) * 99 * 16) + 8);
                RowSpan fresh = strips[((2 * c) + 1) * width / (2 * values.Length)].Fresh;
                if (row < fresh.Top || row > fresh.Bottom) return false;
            }

            return true;
        });

    [Fact]
    public void Build_AnyTrace_DrawsNothingWhereNoFilledColumnReaches() =>
        GenTrace.Sample((width, values) =>
        {
            TraceStrip[] strips = Build(width, values);
            for (int x = 0; x < width; x++)
            {
                // Columns whose cells overlap the pixel, in whole numbers: cell c is [c w, (c+1) w) and pixel x is [x n, (x+1) n).
                bool filled = false;
                for (int c = 0; c < values.Length; c++)
                    filled |= !float.IsNaN(values[c]) && (c + 1) * width > x * values.Length && c * width < (x + 1) * values.Length;
                if (filled != !strips[x].Fresh.IsEmpty) return false;
            }

            return true;
        });

    [Fact]
    public void Build_NeighbouringPixelsOfAFilledTrace_Touch() =>
        GenTrace.Select(t => (t.Width, Values: t.Values.Select(v => float.IsNaN(v) ? 0 : v).ToArray())).Sample((width, values) =>
        {
            TraceStrip[] strips = Build(width, values);
            for (int x = 1; x < width; x++)
                if (strips[x].Fresh.Top > strips[x - 1].Fresh.Bottom || strips[x].Fresh.Bottom < strips[x - 1].Fresh.Top) return false;
            return true;
        });

    [Theory]
    [InlineData(16, 0, 16)]
    [InlineData(0, 0, 0)]
    [InlineData(24, 1, 8)]
    [InlineData(24, 2, 0)]
    public void CoverageOf_Span_IsTheOverlap(int bottom, int row, int sixteenths) =>
        Assert.Equal(sixteenths, new RowSpan(0, bottom).CoverageOf(row));

    [Fact]
    public void CoverageOf_Empty_IsNothingAnywhere()
    {
        for (int row = -5; row < 5_000; row++) Assert.Equal(0, RowSpan.Empty.CoverageOf(row));
        Assert.True(RowSpan.Empty.With(RowSpan.Empty).IsEmpty);
    }

    private static TraceStrip[] Build(int width, float[] values)
    {
        var strips = new TraceStrip[width];
        new StripBuilder(strips, values.Length, height: 100, lineSixteenths: 16, new ColumnRange(0, width)).Build(new TracePicture { Values = values, FrontBorder = -1 }, gapPixels: 0);
        return strips;
    }
}
