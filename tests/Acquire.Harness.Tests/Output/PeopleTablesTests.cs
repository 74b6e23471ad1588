using System.Text.RegularExpressions;
using Acquire.Harness.Output;

namespace Acquire.Harness.Tests.Output;

public class PeopleTablesTests
{
    private static readonly string[] Heads = [">sweep", ">from scan", ">to scan", "complete", "begins with", ">in columns"];
    private static readonly string[][] Rows = [["0", "1000000", "2000000", "yes", "ramp", "1000"], ["1", "3000000", "4000000", "no", "retrace", "12"]];

    [Theory]
    [InlineData(200)]
    [InlineData(80)]
    [InlineData(64)]
    [InlineData(52)]
    [InlineData(40)]
    [InlineData(10)]
    public void Table_TerminalOfAnyWidth_BreaksNoNumberAndNoWord(int width)
    {
        string[] words = Drawn(width).Split([' ', '\n', '\r'], StringSplitOptions.RemoveEmptyEntries);

        string[] wanted = [.. Heads.Append("heading").SelectMany(head => head.TrimStart('>').Split(' ')), .. Rows.SelectMany(row => row)];
        Assert.Equal(wanted.Order(StringComparer.Ordinal), words.Order(StringComparer.Ordinal));
    }

    [Theory]
    [InlineData(200)]
    [InlineData(80)]
    [InlineData(64)]
    [InlineData(52)]
    public void Table_TerminalWithRoom_KeepsRowsOnOneLineWithinIt(int width)
    {
        string[] lines = Drawn(width).Split('\n');

        Assert.All(lines, line => Assert.InRange(line.TrimEnd().Length, 0, width));
        Assert.Contains(lines, line => line.Contains("1000000", StringComparison.Ordinal) && line.TrimEnd().EndsWith(" 1000", StringComparison.Ordinal));
    }

    private static string Drawn(int width)
    {
        using StringWriter output = new();
        new PeopleTables(output, plain: false, width).Table("heading", Heads, Rows);
        return Regex.Replace(output.ToString(), "\u001b\\[[0-9;]*m", "", RegexOptions.None, TimeSpan.FromSeconds(1));
    }
}
