using Acquire.Imaging.Charts;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Tests.Docs;

public class ChartSheetExampleTests
{
    [Fact]
    public void Example_InTheDocs_RunsAndIsTheCodeTested()
    {
        double[] positionHz = [10_000, 20_000, 30_000], level = [-20.0, -3.5, -41.2];
        using var svg = new MemoryStream();
        using var png = new MemoryStream();

        // begin example
        var chart = new TraceChart
        {
            Positions = positionHz,
            Values = level,
            Law = "logarithmic",
            Markers = [new ChartMarker { Name = "A", Position = 20_000, Value = -3.5 }],
        };
        var block = new TitleBlock
        {
            Title = "Low-pass filter, input side",
            Identification = "LP-0012",
            Date = new DateOnly(2025, 3, 14),
            SweepNumber = 12,
            SweepTimeSeconds = 0.4002,
            Detector = "average",
            Domain = "power",
            Lost = "nothing",
            Settings = [new SheetEntry("Span", "20 kHz"), new SheetEntry("Resolution bandwidth", null)],
        };
        var definition = new SheetDefinition { Chart = chart, TitleBlock = block };
        Scene sheet = ChartSheet.Render(definition, SheetSize.Page, SheetStyle.LightPaper);
        sheet.WriteSvg(svg);
        sheet.WritePng(png);
        // end example

        Assert.True(svg.Length > 0 && png.Length > 0);
        Assert.Equal(Snippet(Source()), Documented());
    }

    private static string Snippet(string source)
    {
        int begin = source.IndexOf("// begin example\n", StringComparison.Ordinal), end = source.IndexOf("// end example", StringComparison.Ordinal);
        IEnumerable<string> lines = source[(begin + "// begin example\n".Length)..end].Split('\n').Select(l => l.StartsWith("        ", StringComparison.Ordinal) ? l[8..] : l.TrimStart());
        return string.Join('\n', lines).Trim();
    }

    private static string Source() => Read(Path.Combine("tests", "Acquire.Imaging.Tests", "Docs", "ChartSheetExampleTests.cs"));

    private static string Documented()
    {
        string page = Read(Path.Combine("docs", "chart-sheets.md"));
        int begin = page.IndexOf("```csharp\n", StringComparison.Ordinal) + "```csharp\n".Length;
        return page[begin..page.IndexOf("```", begin, StringComparison.Ordinal)].Trim();
    }

    private static string Read(string path)
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            string file = Path.Combine(folder.FullName, path);
            if (File.Exists(file)) return File.ReadAllText(file).ReplaceLineEndings("\n");
        }

        throw new FileNotFoundException($"{path} is not above {AppContext.BaseDirectory}; run the tests from the repository.");
    }
}
