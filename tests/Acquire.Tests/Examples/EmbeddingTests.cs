using Acquire.Capture;
using Acquire.Columns;
using Acquire.Painting;
using Acquire.Scales;
using Acquire.Sources.Synthetic;
using Acquire.Tests.Doubles;
using Acquire.Traces;

namespace Acquire.Tests.Examples;

/// <summary>The examples of docs/embedding.md, compiled and run.</summary>
public class EmbeddingTests
{
    private const int ScansPerHalf = 1_024;
    private const int Halves = 25; // into the third sweep of 10,000 scans and 500 besides

    private static readonly SyntheticOptions Options = new()
    {
        Seed = 7,
        Ramp = new RampModel { NoiseCodes = 0.5 },
        Verticals = [new VerticalModel { SourceDb = null, ResolutionHz = 500, NoiseFloorDb = -75, Tones = [new Tone(15_000, -12), new Tone(30_000, -30), new Tone(41_000, -52)] }],
    };

    private static readonly Setup Setup = new SyntheticBench(Options).SetupFor();

    [Theory]
    [InlineData("DisplayLoop.cs")]
    [InlineData("CircularCapture.cs")]
    public void Example_InTheDocument_IsTheOneThatIsCompiledHere(string file)
    {
        string page = File.ReadAllText(Path.Combine(Repository(), "docs", "embedding.md"));
        string source = File.ReadAllText(Path.Combine(Repository(), "tests", "Acquire.Tests", "Examples", file));

        Assert.Contains($"```csharp\n{source}```\n", page, StringComparison.Ordinal);
    }

    [Fact]
    public void DisplayLoop_EveryHalfInTime_ShowsWhatTheEngineAlonePaints()
    {
        string frame = EmptyFrame();
        try
        {
            ushort[] scans = Scans();
            using var loop = new DisplayLoop(Setup, frame);
            for (int half = 0; half < Halves; half++)
            {
                loop.ScansArrived(HalfOf(scans, half));
                Assert.True(loop.Turn());
            }

            Assert.False(loop.Turn());
            Assert.Equal(2, loop.WholeSweeps);
            Assert.Equal(0, loop.LostScans);
            AssertShows(Plain(scans), frame);
        }
        finally
        {
            File.Delete(frame);
        }
    }

    [Fact]
    public void DisplayLoop_LoopTooSlow_CountsWhatWasLostAndGoesOn()
    {
        string frame = EmptyFrame();
        try
        {
            ushort[] scans = Scans();
            using var loop = new DisplayLoop(Setup, frame);
            for (int half = 0; half < Halves; half++)
            {
                loop.ScansArrived(HalfOf(scans, half));

                // Halves 3 and 4 wait, 5 finds no room.
                if (half is not (3 or 4)) loop.Turn();
            }

            Assert.Equal(ScansPerHalf, loop.LostScans);
        }
        finally
        {
            File.Delete(frame);
        }
    }

    [Fact]
    public void CircularCapture_OvertakenWhileItReads_LosesNothingInSilence()
    {
        ushort[] scans = Scans();
        var buffer = new PingPongBuffer(new PingPongOptions { ScansPerHalf = ScansPerHalf, Policy = OverrunPolicy.Overwrite });
        var engine = new SweepEngine(Setup, new Ignore());
        var capture = new CircularCapture(engine, buffer);
        for (int half = 0; half < Halves; half++)
        {
            HalfOf(scans, half).CopyTo(buffer.MemoryOf(half & 1).Span);
            capture.HalfIsFull(half & 1);
            if (half is not (3 or 4 or 9)) capture.Turn();
        }

        Assert.Equal(3 * ScansPerHalf, engine.Accounting.Lost);
        Assert.Equal((Halves - 3) * ScansPerHalf, engine.Accounting.Scans);
    }

    [Fact]
    public void Picture_OfASuspectHalf_IsHatchedWhereItsScansLie()
    {
        // Half 21 is of scans 21,504 to 22,527: the third sweep begins about scan 21,000, has 10,000 scans and 1,000 columns.
        const int SuspectHalf = 21;
        ushort[] scans = Scans();
        var engine = new SweepEngine(Setup, new Ignore());
        for (int half = 0; half < Halves; half++) engine.Process(HalfOf(scans, half), suspect: half == SuspectHalf);
        var picture = new Picture(DisplayLoop.Width, DisplayLoop.Height);
        new TracePainter(new ColumnValues(engine.Verticals[0]), new TracePainterOptions
        {
            Choice = new ValueChoice(Detector.Peak, ValueUnit.Level),
            Bottom = -100,
            Top = 0,
            Colours = SheetColours.Dark,
        }).Paint(engine.Traces[0], picture.Surface);
        picture.SaveFor("display-suspect");

        int[] hatched = [.. Enumerable.Range(0, picture.Width).Where(x => Enumerable.Range(0, picture.Height).Any(y => picture[x, y] == SheetColours.Dark.Mark))];
        int[] suspect = [.. Enumerable.Range(0, engine.Traces[0].ColumnCount).Where(c => (engine.Traces[0].Marks[c] & ColumnMarks.Suspect) != ColumnMarks.None)];
        Assert.InRange(suspect.Length, 95, 110);
        Assert.Equal([.. suspect.SelectMany(c => new[] { c * 4 / 5, ((c * 4) + 3) / 5 }).Distinct().Order()], hatched);
    }

    private static void AssertShows(SweepEngine engine, string frame)
    {
        byte[] wanted = new byte[DisplayLoop.BytesPerRow * DisplayLoop.Height];
        var painter = new TracePainter(new ColumnValues(engine.Verticals[0]), new TracePainterOptions
        {
            Choice = new ValueChoice(Detector.Peak, ValueUnit.Level),
            Bottom = -100,
            Top = 0,
            Colours = SheetColours.Dark,
            GridRows = [0, 0.2, 0.4, 0.6, 0.8, 1],
            GridColumns = [0.2, 0.4, 0.6, 0.8],
        });
        painter.Paint(engine.Traces[0], new PixelSurface(wanted, DisplayLoop.Width, DisplayLoop.Height, DisplayLoop.BytesPerRow, PixelFormat.Rgb565));
        byte[] shown = ReadShared(frame);
        Assert.Equal(wanted, shown);
        Save(shown);
    }

    private static void Save(byte[] shown)
    {
        var picture = new Picture(DisplayLoop.Width, DisplayLoop.Height);
        var surface = new PixelSurface(shown, DisplayLoop.Width, DisplayLoop.Height, DisplayLoop.BytesPerRow, PixelFormat.Rgb565);
        for (int y = 0; y < DisplayLoop.Height; y++)
            for (int x = 0; x < DisplayLoop.Width; x++) picture.Surface.Set(x, y, surface.Get(x, y));
        picture.SaveFor("display-loop");
    }

    private static SweepEngine Plain(ushort[] scans)
    {
        var engine = new SweepEngine(Setup, new Ignore());
        engine.Process(scans);
        return engine;
    }

    private static ushort[] Scans()
    {
        ushort[] scans = new ushort[Halves * ScansPerHalf * 2];
        Assert.Equal(Halves * ScansPerHalf, new SyntheticBench(Options).Read(scans).Count);
        return scans;
    }

    private static ReadOnlySpan<ushort> HalfOf(ushort[] scans, int half) => scans.AsSpan(half * ScansPerHalf * 2, ScansPerHalf * 2);

    // The mapping is still open for writing, so others must be allowed to.
    private static byte[] ReadShared(string name)
    {
        using var file = new FileStream(name, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        byte[] bytes = new byte[file.Length];
        file.ReadExactly(bytes);
        return bytes;
    }

    private static string EmptyFrame()
    {
        string name = Path.GetTempFileName();
        File.WriteAllBytes(name, new byte[DisplayLoop.BytesPerRow * DisplayLoop.Height]);
        return name;
    }

    private static string Repository()
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (File.Exists(Path.Combine(folder.FullName, "Acquire.sln"))) return folder.FullName;
        throw new InvalidOperationException($"No folder above {AppContext.BaseDirectory} holds Acquire.sln; run the tests from a working tree.");
    }

    private sealed class Ignore : ISweepSink
    {
        public void SweepEnded(in SweepView sweep)
        {
            // The trace and the accounts are what is looked at here.
        }
    }
}
