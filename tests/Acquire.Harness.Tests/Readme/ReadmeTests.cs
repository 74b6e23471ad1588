using Acquire.Harness.Tests.Commands;

namespace Acquire.Harness.Tests.Readme;

public class ReadmeTests
{
    private static readonly string Readme = File.ReadAllText(Path.Combine(AcquireCommand.Repository(), "README.md"));

    [Fact]
    public void Example_InTheReadme_IsTheOneThatIsCompiledHere()
    {
        string source = File.ReadAllText(Path.Combine(AcquireCommand.Repository(), "tests", "Acquire.Harness.Tests", "Readme", "HighestLevels.cs"));
        int begin = Readme.IndexOf("```csharp\n", StringComparison.Ordinal) + "```csharp\n".Length;
        int end = Readme.IndexOf("```", begin, StringComparison.Ordinal);

        Assert.Equal(source, Readme[begin..end]);
    }

    [Fact]
    public void Example_OnTheWire_PrintsEveryCompleteSweep()
    {
        using StringWriter output = new();

        HighestLevels.Run(Path.Combine(AcquireCommand.Data, "through"), output);

        string[] lines = output.ToString().TrimEnd().Split('\n');
        Assert.Equal(4, lines.Length);
        Assert.All(lines, line => Assert.Matches(@"^sweep \d+: -?\d+\.\d dB at \d+\.\d kHz, \d+ scans\r?$", line));
    }

    [Fact]
    public void Links_LeadToFilesThatAreThere()
    {
        foreach (System.Text.RegularExpressions.Match link in System.Text.RegularExpressions.Regex.Matches(Readme, @"\]\(([^)#:]+)\)"))
        {
            string target = Path.Combine(AcquireCommand.Repository(), link.Groups[1].Value);
            Assert.True(File.Exists(target) || Directory.Exists(target), $"README.md links to {link.Groups[1].Value}, which is not there.");
        }
    }
}
