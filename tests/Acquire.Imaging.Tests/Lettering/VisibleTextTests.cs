using System.Xml.Linq;
using Acquire.Imaging.Scenes;
using Acquire.Imaging.Tests.Doubles;

namespace Acquire.Imaging.Tests.Lettering;

public class VisibleTextTests
{
    [Theory]
    [InlineData("plain, as it is", "plain, as it is")]
    [InlineData("\u00b5V, \u03a9, na\u00efve", "\u00b5V, \u03a9, na\u00efve")]
    [InlineData("two\nlines\tand a tab", "two lines and a tab")]
    [InlineData("red\u001b[31m", "red\\u001b[31m")]
    [InlineData("del\u007f, next line\u0085", "del\\u007f, next line\\u0085")]
    [InlineData("turned\u202e round", "turned\\u202e round")]
    [InlineData("hidden\u200b space, line\u2028end", "hidden\\u200b space, line\\u2028end")]
    public void Render_TextsOfOthers_AreWrittenOutWhereTheyCannotBeSeen(string given, string shown)
    {
        Assert.Contains(shown, Titles(given));
    }

    [Fact]
    public void Render_TextWithoutEnd_IsDrawnInReasonableTime()
    {
        string[] titles = Titles(new string('W', 1_000_000));

        Assert.All(titles, title => Assert.InRange(title.Length, 0, 500));
    }

    private static string[] Titles(string text)
    {
        SheetDefinition sheet = SampleSheets.Sheet(SampleSheets.Chart("trace"));
        sheet = sheet with { TitleBlock = sheet.TitleBlock with { Supplement = text } };
        using var svg = new MemoryStream();
        ChartSheet.Render(sheet, SheetSize.A3At300Dpi).WriteSvg(svg);
        svg.Position = 0;
        return [.. XDocument.Load(svg).Descendants().Where(element => element.Name.LocalName is "title").Select(title => title.Value)];
    }
}
