using Acquire.Capture;
using Acquire.Painting;
using Acquire.Sources.Synthetic;
using Acquire.Tests.Doubles;
using Acquire.Traces;

namespace Acquire.Tests.Examples;

/// <summary>The example of docs/traces.md, compiled and run.</summary>
public class TracesPageTests
{
    private const string Begin = "        // begin example\n", End = "        // end example";

    [Fact]
    public void Example_InThePage_IsTheOneThatIsCompiledHere()
    {
        string source = Read("tests", "Acquire.Tests", "Examples", "TracesPageTests.cs").Split(Begin)[^1].Split(End)[0];
        string[] shown = Read("docs", "traces.md").Split("```csharp\n")[1..];

        Assert.Equal(source.Replace("\n        ", "\n", StringComparison.Ordinal)[8..], Assert.Single(shown).Split("```")[0]);
    }

    [Fact]
    public void Example_AfterASweep_PaintsWhatTheEngineHolds()
    {
        SyntheticOptions options = new() { Sweeps = 3 };
        SyntheticBench bench = new(options);
        SweepEngine engine = new(bench.SetupFor(), new Ignore());
        ushort[] scans = new ushort[2 * 20_000];
        Picture shown = new(300, 100), wanted = new(300, 100);

        Example(engine, () => engine.Process(scans.AsSpan(0, 2 * (int)bench.Read(scans).Count)), Painter(engine), shown.Surface);
        Painter(engine).Paint(engine.Traces[0], wanted.Surface);

        Assert.True(engine.Traces[0].Version > 0);
        Assert.All(Enumerable.Range(0, 300), x => Assert.All(Enumerable.Range(0, 100), y => Assert.Equal(wanted[x, y], shown[x, y])));
    }

    private static void Example(SweepEngine engine, Action process, TracePainter painter, PixelSurface pixels)
    {
        process();

        // begin example
        SnapshotExchange exchange = engine.ShareSnapshots(readers: 2);   // before or between calls, on the engine's thread
        TraceSnapshot snapshot = exchange.CreateSnapshot();              // one per reader, owned by it
        if (exchange.Read(snapshot)) painter.Paint(snapshot.Traces[0], pixels);   // any thread
        // end example
    }

    private static TracePainter Painter(SweepEngine engine) => new(new ColumnValues(engine.Verticals[0]), new TracePainterOptions { Bottom = 0, Top = 4_095 });

    private static string Read(params string[] path)
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (File.Exists(Path.Combine(folder.FullName, "Acquire.sln"))) return File.ReadAllText(Path.Combine([folder.FullName, .. path])).ReplaceLineEndings("\n");
        throw new InvalidOperationException($"No folder above {AppContext.BaseDirectory} holds Acquire.sln; run the tests from a working tree.");
    }

    private sealed class Ignore : ISweepSink
    {
        public void SweepEnded(in SweepView sweep)
        {
            // The trace is what is looked at here.
        }
    }
}
