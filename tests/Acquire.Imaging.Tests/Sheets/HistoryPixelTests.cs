using Acquire.Imaging.Charts;
using Acquire.Imaging.Scenes;
using Acquire.Imaging.Tests.Doubles;
using Acquire.Painting;

namespace Acquire.Imaging.Tests.Sheets;

public class HistoryPixelTests
{
    private static readonly SheetStyle s_style = SheetStyle.LightPaper;

    [Fact]
    public void WritePng_OneLoudColumnAmongMany_IsSeenThoughPixelsAreFewer()
    {
        const int Columns = 5_000, Loud = 1_234;
        (Picture picture, Box field) = Draw(Columns, 10, (row, column) => row == 4 && column == Loud ? 0 : -100);

        int x = (int)(field.Left + ((Loud + 0.5) / Columns * field.Width)), y = (int)(field.Top + (4.5 / 10 * field.Height));

        Assert.Equal(s_style.Ramp.At(1), picture.At(x, y));
        Assert.Equal(s_style.Ramp.At(0), picture.At(x + 3, y));
        Assert.Equal(s_style.Ramp.At(0), picture.At(x, y + (int)(field.Height / 10)));
    }

    [Fact]
    public void WritePng_OldestRow_IsOnTop()
    {
        (Picture picture, Box field) = Draw(100, 4, (row, _) => row == 0 ? 0 : -100);

        Assert.Equal(s_style.Ramp.At(1), picture.At((int)field.CentreX, (int)field.Top + 10));
        Assert.Equal(s_style.Ramp.At(0), picture.At((int)field.CentreX, (int)field.Bottom - 10));
    }

    [Fact]
    public void WritePng_UnfilledColumns_AreHatchedAndNotTheLowestColour()
    {
        (Picture picture, Box field) = Draw(100, 4, (_, column) => column < 50 ? double.NaN : -100);
        HashSet<Colour> left = [], right = [];

        for (int y = (int)field.Top + 5; y < field.Bottom - 5; y++)
        {
            for (int x = 5; x < 40; x++)
            {
                left.Add(picture.At((int)field.Left + x, y));
                right.Add(picture.At((int)field.Right - x, y));
            }
        }

        Assert.Equal([s_style.Paper, s_style.Older], left.ToHashSet());
        Assert.Equal([s_style.Ramp.At(0)], right);
    }

    // A filled column without input has the level minus infinity.
    [Fact]
    public void WritePng_ColumnsWithoutInput_HaveTheLowestColourAndAreNotHatched()
    {
        (Picture picture, Box field) = Draw(100, 4, (_, column) => column < 50 ? double.NegativeInfinity : -100 + column);

        Assert.Equal(s_style.Ramp.At(0), picture.At((int)field.Left + 10, (int)field.CentreY));
        Assert.Equal(s_style.Ramp.At(0), picture.At((int)field.Left + 11, (int)field.CentreY + 1));
    }

    // Half of the columns lie in the first fifth of the axis, as the numbers below it say.
    [Theory]
    [InlineData(100)]
    [InlineData(3_000)]
    public void WritePng_ColumnsOfUnequalWidth_LieWhereTheAxisSays(int columns)
    {
        double[] positions = [.. Enumerable.Range(0, columns).Select(i => (i + 0.5) / columns).Select(f => f < 0.5 ? f * 0.4 : 0.2 + ((f - 0.5) * 1.6))];

        (Picture picture, Box field) = Draw(columns, 4, (_, column) => column < columns / 2 ? 0 : -100, positions);

        Assert.Equal(s_style.Ramp.At(1), picture.At((int)(field.Left + (field.Width * 0.18)), (int)field.CentreY));
        Assert.Equal(s_style.Ramp.At(0), picture.At((int)(field.Left + (field.Width * 0.23)), (int)field.CentreY));
    }

    [Fact]
    public void WritePng_FallingPositions_MirrorsTheColumns()
    {
        double[] falling = [.. Enumerable.Range(0, 100).Select(i => 1_000.0 - i)];
        (Picture picture, Box field) = Draw(100, 4, (_, column) => column < 10 ? 0 : -100, falling);

        Assert.Equal(s_style.Ramp.At(1), picture.At((int)field.Right - 10, (int)field.CentreY));
        Assert.Equal(s_style.Ramp.At(0), picture.At((int)field.Left + 10, (int)field.CentreY));
    }

    private static (Picture, Box) Draw(int columns, int rows, Func<int, int, double> value, double[]? positions = null)
    {
        var chart = new HistoryChart
        {
            Positions = positions ?? [.. Enumerable.Range(0, columns).Select(i => 1_000.0 + i)],
            Rows = [.. Enumerable.Range(0, rows).Select(r => Enumerable.Range(0, columns).Select(c => value(r, c)).ToArray())],
            RowSeconds = [.. Enumerable.Range(0, rows).Select(r => r + 1.0)],
            YRange = new ChartRange(-100, 0),
        };
        Scene scene = ChartSheet.Render(SampleSheets.Sheet(chart), SheetSize.Page);
        ImageElement image = scene.Elements.OfType<GroupElement>().First(g => g.Title is "History").Children.OfType<ImageElement>().First();
        return (Picture.Of(scene), image.Box);
    }
}
