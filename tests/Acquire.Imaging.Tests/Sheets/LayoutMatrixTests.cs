using Acquire.Imaging.Charts;
using Acquire.Imaging.Layout;
using Acquire.Imaging.Scenes;
using Acquire.Imaging.Tests.Doubles;

namespace Acquire.Imaging.Tests.Sheets;

public class LayoutMatrixTests
{
    private static readonly (int Width, int Height)[] s_sizes =
        [(480, 272), (640, 480), (800, 480), (1024, 600), (1280, 720), (1280, 800), (1600, 1000), (1920, 1080), (600, 900), (2000, 300), (1754, 2480), (3508, 2480), (4961, 3508)];

    public static TheoryData<int, int, string, string> Matrix()
    {
        var data = new TheoryData<int, int, string, string>();
        foreach ((int width, int height) in s_sizes)
        {
            foreach (string chart in SampleSheets.ChartNames)
            {
                foreach (string labels in (string[])["bare", "usual", "long", "many"]) data.Add(width, height, chart, labels);
            }
        }

        return data;
    }

    [Theory]
    [MemberData(nameof(Matrix))]
    public void Render_AnySizeChartAndLabels_NothingOverlapsAndNothingIsCut(int width, int height, string chart, string labels)
    {
        SheetDefinition definition = SampleSheets.Vary(SampleSheets.Chart(chart), labels);

        Scene scene = ChartSheet.Render(definition, new SheetSize(width, height));

        List<string> faults = SceneChecks.Faults(scene);
        Assert.True(faults.Count == 0, string.Join("; ", faults));
    }

    [Fact]
    public void Metrics_SmallestSheet_LettersStayReadable()
    {
        var metrics = new SheetMetrics(SheetSize.MinWidth, SheetSize.MinHeight);

        Assert.True(metrics.Small >= 7, $"small letters are {metrics.Small} pixels high");
        Assert.True(metrics.Normal >= 8, $"letters are {metrics.Normal} pixels high");
    }

    [Fact]
    public void Render_UsualSheet_EverySettingStandsInTheBlock()
    {
        SheetDefinition definition = SampleSheets.Sheet(SampleSheets.Trace());

        List<string> texts = [.. ChartSheet.Render(definition, SheetSize.Page).Texts().Select(t => t.Text)];

        foreach (SheetEntry entry in BlockEntries.Of(definition.TitleBlock, definition.Chart))
        {
            Assert.Contains(entry.Name, texts);
            Assert.Contains(entry.Value ?? "not stated", texts);
        }

        Assert.All((string[])["Band-stop filter 25 kHz", "BS-25-07", "2025-03-14", "1 of 3", "Bench 2", "12", "400.23\u00A0ms"], expected => Assert.Contains(expected, texts));
    }

    [Fact]
    public void Render_SmallPanel_EverySettingStandsInTheBlock()
    {
        SheetDefinition definition = SampleSheets.Sheet(SampleSheets.Trace());

        string all = string.Join(' ', ChartSheet.Render(definition, SheetSize.SmallPanel).Texts().Select(t => t.Text));

        foreach (SheetEntry entry in BlockEntries.Of(definition.TitleBlock, definition.Chart)) Assert.Contains($"{entry.Name} {entry.Value ?? "not stated"}", all, StringComparison.Ordinal);
    }

    [Fact]
    public void Render_NothingStated_SaysSo()
    {
        TraceChart bare = new() { Positions = SampleSheets.Positions(), Values = SampleSheets.Values(SampleSheets.Positions()) };
        var definition = new SheetDefinition { Chart = bare, TitleBlock = new TitleBlock { Title = "Untitled bench" } };

        int count = ChartSheet.Render(definition, SheetSize.Page).Texts().Count(t => t.Text is "not stated");

        // Source, sweep, time, detector, domain, placement, scans, lost, law; identification and date.
        Assert.Equal(11, count);
    }
}
