using System.Text.RegularExpressions;
using Acquire.Capture;

namespace Acquire.Link.Tests.Sender;

/// <summary>What docs/firmware.md shows compiles, and its arithmetic is that of the protocol.</summary>
public sealed class FirmwareDocumentTests
{
    private static readonly string Document = File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "docs", "firmware.md"));

    [Fact]
    public void Example_AsShown_Compiles()
    {
        Tools.Need("gcc");
        DirectoryInfo folder = Directory.CreateTempSubdirectory("acquire-example-");
        try
        {
            string code = Regex.Match(Document, "```c\n(.*?)```", RegexOptions.Singleline, TimeSpan.FromSeconds(1)).Groups[1].Value;
            string file = Path.Combine(folder.FullName, "example.c");
            File.WriteAllText(file, code);
            Tools.Run("gcc", ["-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic", "-Os", "-I", Tools.SenderFolder, "-c", file, "-o", file + ".o"]);

            Assert.True(new FileInfo(file + ".o").Length > 0);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    [Fact]
    public void Header_ReadByACppCompiler_Compiles()
    {
        Tools.Need("g++");
        DirectoryInfo folder = Directory.CreateTempSubdirectory("acquire-header-");
        try
        {
            string file = Path.Combine(folder.FullName, "header.cpp");
            File.WriteAllText(file, "#include \"acquire_link.h\"\nint main() { acqlink_t link; (void)link; return 0; }\n");
            Tools.Run("g++", ["-Wall", "-Wextra", "-Werror", "-pedantic", "-I", Tools.SenderFolder, "-c", file, "-o", file + ".o"]);

            Assert.True(new FileInfo(file + ".o").Length > 0);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    [Fact]
    public void ScansPerFrame_Row_IsThatOfTheEncoder()
    {
        int[] frames = Numbers(@"\| F \|(.*)\|");
        int[] scans = Numbers(@"\| S \|(.*)\|");

        Assert.Equal(4, frames.Length);
        Assert.Equal(frames.Select(f => ScansPerFrame(f, 12)), scans);
    }

    [Fact]
    public void ScansASecond_Table_FollowsFromTheFrame()
    {
        MatchCollection rows = Regex.Matches(Document, @"\| [\d,]+ (?:baud|MB)[^|]*\| ([\d,]+) \| ([\d,]+) \| ([\d,]+) \|", RegexOptions.None, TimeSpan.FromSeconds(1));

        Assert.Equal(4, rows.Count);
        Assert.All(rows, row =>
        {
            long bytes = Number(row.Groups[1].Value);
            Assert.Equal(bytes * ScansPerFrame(1_024, 12) / 1_024, Number(row.Groups[2].Value));
            Assert.Equal(bytes * ScansPerFrame(1_024, 16) / 1_024, Number(row.Groups[3].Value));
        });
    }

    private static int ScansPerFrame(int frameBytes, int bits) =>
        new LinkEncoder(new LinkEncoderOptions { FrameBytes = frameBytes, Description = new StreamDescription { Scan = new ScanFormat { Bits = bits } } }).ScansPerFrame;

    private static int[] Numbers(string row) =>
        [.. Regex.Match(Document, row, RegexOptions.None, TimeSpan.FromSeconds(1)).Groups[1].Value.Split('|').Select(Number)];

    private static int Number(string text) => int.Parse(text.Trim().Replace(",", "", StringComparison.Ordinal));
}
