using Acquire.Harness.Tests.Commands;
using Acquire.Harness.Tests.Doubles;

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
    public void Speed_InTheReadme_IsWhatWasMeasured()
    {
        string table = Between(Readme);
        string results = System.Text.RegularExpressions.Regex.Match(table, @"\]\((bench/results/[^)]+)\)").Groups[1].Value;

        // Where it was measured the link leads to the file itself.
        Assert.Equal(Between(File.ReadAllText(Path.Combine(AcquireCommand.Repository(), results))), table.Replace(results, Path.GetFileName(results), StringComparison.Ordinal));

        static string Between(string text) => text.Split("<!-- speed: written by publish-speed -->")[1].Split("<!-- end of speed -->")[0];
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
    public void TryOut_TheThreeLines_DoWhatTheySay()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "Pseudo-terminals are served on Linux only.");
        string[] lines = [.. Readme.Split('\n').SkipWhile(line => !line.StartsWith("acquire synth", StringComparison.Ordinal)).TakeWhile(line => line.StartsWith("acquire ", StringComparison.Ordinal))];
        Assert.Equal(3, lines.Length);
        Assert.EndsWith(" &", lines[0], StringComparison.Ordinal);
        using ScratchFolder folder = new();

        using RunningCommand instrument = RunningCommand.Start(folder.Path, Words(lines[0][..^2]));
        instrument.WaitForLine("Virtual instrument");
        CommandResult capture = AcquireCommand.RunIn(folder.Path, Words(lines[1])).AssertDone();
        CommandResult replay = AcquireCommand.RunIn(folder.Path, Words(lines[2])).AssertDone();
        instrument.Terminate();

        Assert.Equal(130, instrument.WaitForExit());
        Assert.Contains("nothing lost", capture.Output, StringComparison.Ordinal);
        Assert.Matches("[1-9][0-9]* of them complete", replay.Output);
        Assert.Equal(["bench.png", "bench.setup.json", "bench.sigmf-data", "bench.sigmf-meta"], folder.Names);

        static string[] Words(string line) => line.Split(' ')[1..];
    }

    // Member of a setup, and the word of the table for it.
    [Fact]
    public void Words_OfASetup_AreWhatItHolds()
    {
        Dictionary<string, string> words = new()
        {
            [nameof(Setup.Scan)] = "channels",
            [nameof(Setup.RampVolts)] = "scales",
            [nameof(Setup.Verticals)] = "scales",
            [nameof(Setup.Sweep)] = "how sweeps are found",
            [nameof(Setup.Axis)] = "sweep axis",
            [nameof(Setup.Columns)] = "columns and their averaging domains",
            [nameof(Setup.Traces)] = "what traces keep",
            [nameof(Setup.Settings)] = "the instrument's settings",
        };
        string row = Readme.Split('\n').Single(line => line.StartsWith("| setup |", StringComparison.Ordinal));

        Assert.Equal(typeof(Setup).GetProperties().Select(member => member.Name).Order(StringComparer.Ordinal), words.Keys.Order(StringComparer.Ordinal));
        Assert.Equal($"| setup | everything a person sets: {string.Join(", ", words.Values.Distinct(StringComparer.Ordinal))}; one JSON file |", row);
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
