using System.Text;
using System.Text.RegularExpressions;

namespace Acquire.Link.Tests.Sender;

/// <summary>What docs/firmware.md says about the sender's size holds, and it needs nothing from a library.</summary>
public sealed class SenderSizeTests
{
    private static readonly string[] Flags = ["-std=c99", "-Wall", "-Wextra", "-Werror", "-pedantic", "-Os", "-c"];

    // "| x86-64, `gcc -Os` | 1,594 | 2,560 |": code with tables in bytes, plain and with the large table.
    [Theory]
    [InlineData("gcc", "size", "nm", "", "x86-64", 0)]
    [InlineData("arm-none-eabi-gcc", "arm-none-eabi-size", "arm-none-eabi-nm", "-mthumb -mcpu=cortex-m0plus -ffreestanding", "Thumb, ARMv6-M", 2_048)]
    [InlineData("arm-none-eabi-gcc", "arm-none-eabi-size", "arm-none-eabi-nm", "-mthumb -mcpu=cortex-m3 -ffreestanding", "Thumb-2, ARMv7-M", 2_048)]
    public void Sender_CodeWithTables_IsNoLargerThanStated(string compiler, string size, string names, string more, string row, int most)
    {
        Tools.Need(compiler);
        string document = File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "docs", "firmware.md"));
        Match stated = Regex.Match(document, $@"\| {Regex.Escape(row)}[^|]*\| ([\d,]+) \| ([\d,]+) \|", RegexOptions.None, TimeSpan.FromSeconds(1));
        Assert.True(stated.Success, $"docs/firmware.md has no row for {row}.");
        DirectoryInfo folder = Directory.CreateTempSubdirectory("acquire-size-");
        try
        {
            string plain = Path.Combine(folder.FullName, "plain.o");
            string large = Path.Combine(folder.FullName, "large.o");
            string[] flags = [.. Flags, .. more.Split(' ', StringSplitOptions.RemoveEmptyEntries), "-fno-asynchronous-unwind-tables", Path.Combine(Tools.SenderFolder, "acquire_link.c"), "-o"];
            Tools.Run(compiler, [.. flags, plain]);
            Tools.Run(compiler, [.. flags, large, "-DACQLINK_LARGE_TABLE"]);

            // Another compiler version may need a few bytes more or less.
            int bytes = Text(size, plain);
            Assert.InRange(bytes, 1, Number(stated.Groups[1].Value) * 11 / 10);
            Assert.InRange(Text(size, large), 1, Number(stated.Groups[2].Value) * 11 / 10);
            if (most > 0) Assert.InRange(bytes, 1, most);

            string[] needed = Encoding.UTF8.GetString(Tools.Run(names, ["-u", plain])).Split('\n', StringSplitOptions.RemoveEmptyEntries);
            Assert.All(needed, line => Assert.Matches(@"^\s+U (memcpy|memset)$", line));
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static int Number(string text) => int.Parse(text.Replace(",", "", StringComparison.Ordinal));

    // The first column under "text" of the size program: code and constant tables.
    private static int Text(string size, string file) =>
        int.Parse(Encoding.UTF8.GetString(Tools.Run(size, [file])).Split('\n')[1].Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)[0]);
}
