using System.Diagnostics;
using System.Globalization;
using System.Text;
using System.Xml;
using System.Xml.Linq;
using Acquire.Imaging.Scenes;
using Acquire.Imaging.Tests.Doubles;

namespace Acquire.Imaging.Tests.Scenes;

public class SvgWriterTests
{
    private static readonly XNamespace s_svg = "http://www.w3.org/2000/svg";

    public static TheoryData<string> Charts => [.. SampleSheets.ChartNames];

    [Theory]
    [MemberData(nameof(Charts))]
    public void WriteSvg_Twice_SameBytesInAnyCulture(string chart)
    {
        byte[] first = Svg(chart);
        CultureInfo before = CultureInfo.CurrentCulture;
        var comma = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        comma.NumberFormat.NumberDecimalSeparator = ",";
        comma.NumberFormat.NegativeSign = "~";
        byte[] second;
        try
        {
            CultureInfo.CurrentCulture = comma;
            second = Svg(chart);
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }

        Assert.Equal(first, second);
    }

    [Theory]
    [MemberData(nameof(Charts))]
    public void WritePng_Twice_SameBytes(string chart)
    {
        Scene scene = ChartSheet.Render(SampleSheets.Sheet(SampleSheets.Chart(chart)), SheetSize.SmallPanel);

        Assert.Equal(Bytes(scene.WritePng), Bytes(scene.WritePng));
    }

    [Theory]
    [MemberData(nameof(Charts))]
    public void WriteSvg_Parsed_HasTitleTextsAndNoFont(string chart)
    {
        XElement root = XDocument.Parse(Encoding.UTF8.GetString(Svg(chart))).Root!;

        Assert.Equal(s_svg + "svg", root.Name);
        Assert.Equal("Band-stop filter 25 kHz", root.Element(s_svg + "title")!.Value);
        Assert.NotEmpty(root.Element(s_svg + "desc")!.Value);
        Assert.Contains(root.Descendants(s_svg + "title"), t => t.Value is "38 to 42");
        Assert.Empty(root.Descendants(s_svg + "text"));
        Assert.DoesNotContain(root.DescendantsAndSelf().Attributes().Where(a => a.Name != "href"), a => a.Value.Contains("NaN", StringComparison.Ordinal) || a.Value.Contains('∞', StringComparison.Ordinal));
    }

    [Fact]
    public void WriteSvg_ControlCharactersInTexts_StaysWellFormed()
    {
        SheetDefinition sheet = SampleSheets.Sheet(SampleSheets.Trace());
        sheet = sheet with { TitleBlock = sheet.TitleBlock with { Title = "a\u0001b\uD800c<&>\n" } };

        byte[] svg = Bytes(ChartSheet.Render(sheet, SheetSize.Page).WriteSvg);

        Assert.Equal("a\\u0001b\uFFFDc<&> ", XDocument.Parse(Encoding.UTF8.GetString(svg)).Root!.Element(s_svg + "title")!.Value);
    }

    [Theory]
    [InlineData("trace")]
    [InlineData("partial")]
    [InlineData("history")]
    [InlineData("comparison")]
    public void WriteSvg_CheckedByXmllint_IsWellFormed(string chart)
    {
        string? lint = Tools.Find("xmllint");
        if (lint is null) Assert.Skip("xmllint is not installed; XmlReader parses the same files in another test.");
        string file = Path.Combine(Path.GetTempPath(), $"sheet-{Guid.NewGuid():N}.svg");
        File.WriteAllBytes(file, Svg(chart));
        try
        {
            using var process = Process.Start(new ProcessStartInfo(lint, ["--noout", file]) { RedirectStandardError = true })!;
            string errors = process.StandardError.ReadToEnd();
            process.WaitForExit();

            Assert.Equal(0, process.ExitCode);
            Assert.Empty(errors);
        }
        finally
        {
            File.Delete(file);
        }
    }

    [Fact]
    public void Write_PaperSize_StandsInBothFiles()
    {
        Scene scene = ChartSheet.Render(SampleSheets.Sheet(SampleSheets.Trace()), new SheetSize(1000, 800, 254));

        XElement root = XDocument.Parse(Encoding.UTF8.GetString(Bytes(scene.WriteSvg))).Root!;
        byte[] png = Bytes(scene.WritePng);

        Assert.Equal("100mm", root.Attribute("width")!.Value);
        Assert.Equal("0 0 1000 800", root.Attribute("viewBox")!.Value);
        // pHYs after IHDR: 9 bytes, 10,000 pixels a metre both ways, unit metre (ISO/IEC 15948, 11.3.5.3).
        Assert.Equal("0000000970485973000027100000271001", Convert.ToHexString(png, 33, 17));
        Assert.Equal(1000, Picture.Decode(png).Width);
    }

    private static byte[] Svg(string chart) => Bytes(ChartSheet.Render(SampleSheets.Sheet(SampleSheets.Chart(chart)), SheetSize.Page).WriteSvg);

    private static byte[] Bytes(Action<Stream> write)
    {
        using var stream = new MemoryStream();
        write(stream);
        return stream.ToArray();
    }
}
