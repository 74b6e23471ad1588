using System.Globalization;
using Acquire.Sources.Synthetic;

namespace Acquire.Sources.Tests.Examples;

/// <summary>The host's examples of docs/embedding.md, compiled and run.</summary>
public class HostExampleTests
{
    [Theory]
    [InlineData("PeakTable.cs")]
    [InlineData("QueueSource.cs")]
    public void Example_InTheDocument_IsTheOneThatIsCompiledHere(string file)
    {
        string page = File.ReadAllText(Path.Combine(Repository(), "docs", "embedding.md"));
        string source = File.ReadAllText(Path.Combine(Repository(), "tests", "Acquire.Sources.Tests", "Examples", file));

        Assert.Contains($"```csharp\n{source}```\n", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task PeakTable_OneToneAtAThirdOfTheScreen_NamesItsColumn()
    {
        SyntheticOptions options = new()
        {
            Seed = 11,
            Sweeps = 4,
            Verticals = [new VerticalModel { SourceDb = -80, Needles = [new(1 / 3.0, -10)] }],
        };
        StringWriter output = new(CultureInfo.InvariantCulture);

        await PeakTable.WriteAsync(new SyntheticSource(options), new SyntheticBench(options).SetupFor(), output, CancellationToken.None);

        string[] lines = output.ToString().Split(output.NewLine, StringSplitOptions.RemoveEmptyEntries);
        Assert.True(lines.Length >= 4);
        Assert.All(lines[..^1], line => Assert.InRange(int.Parse(line[(line.LastIndexOf(' ') + 1)..], CultureInfo.InvariantCulture), 332, 335));
        Assert.EndsWith("0 lost, 0 sweeps dropped", lines[^1], StringComparison.Ordinal);
    }

    [Fact]
    public async Task PeakTable_Cancelled_Ends()
    {
        SyntheticOptions options = new() { KeepTruth = false };
        using CancellationTokenSource cancel = new();
        CancellingWriter output = new(cancel);

        await Assert.ThrowsAnyAsync<OperationCanceledException>(() =>
            PeakTable.WriteAsync(new SyntheticSource(options), new SyntheticBench(options).SetupFor(), output, cancel.Token).WaitAsync(TimeSpan.FromSeconds(20)));

        Assert.True(output.Lines > 0);
    }

    private static string Repository()
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (File.Exists(Path.Combine(folder.FullName, "Acquire.sln"))) return folder.FullName;
        throw new InvalidOperationException("The tests do not lie below the folder of Acquire.sln.");
    }

    private sealed class CancellingWriter(CancellationTokenSource cancel) : StringWriter(CultureInfo.InvariantCulture)
    {
        public int Lines { get; private set; }

        public override void WriteLine(string? value)
        {
            Lines++;
            cancel.Cancel();
        }
    }
}
