using Acquire.Capture;
using Acquire.Recordings;
using Acquire.Sources.Recording;
using Acquire.Sources.Synthetic;
using Acquire.Sources.Tests.Doubles;

namespace Acquire.Sources.Tests.Examples;

/// <summary>The examples of docs/recording.md and docs/synthetic-bench.md, compiled and run.</summary>
public sealed class RecordingPageTests : IDisposable
{
    private readonly RecordingFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("recording.md")]
    [InlineData("synthetic-bench.md")]
    public void Examples_InThePage_AreTheOnesThatAreCompiledHere(string page) => Assert.Equal(PageExamples.Compiled("RecordingPageTests.cs", page), PageExamples.Shown(page));

    [Fact]
    public void Examples_OneBehindTheOther_ReadWhatWasWritten()
    {
        ushort[] scans = new ushort[2 * 30_000];
        new SyntheticBench(new SyntheticOptions { Sweeps = 4 }).Read(scans);
        string name = _folder.File("bench");

        WriteOne(name, scans, lostScans: 12);
        SweepEngine engine = Engine();
        ReadOne(name, engine);

        Assert.Equal((90_000L, 12L, 1L), (engine.Accounting.Scans, engine.Accounting.Lost, engine.Accounting.Breaks));
        Assert.Equal(["bench.sigmf-data", "bench.sigmf-meta"], _folder.Names);
    }

    [Fact]
    public void Example_OfACapture_RecordsWhatTheSourceBrings()
    {
        SyntheticOptions options = new() { Sweeps = 4, Ramp = new() { NoiseCodes = 2 } };
        CaptureOne(_folder.File("bench"), new SyntheticSource(options), CancellationToken.None);

        SweepEngine recorded = Engine(), made = Engine();
        ReadOne(_folder.File("bench-0001"), recorded);
        BenchOne(made);
        Assert.True(made.Accounting.Scans > 30_000);
        Assert.Equal(made.Accounting.Scans, recorded.Accounting.Scans);
    }

    private static void ReadOne(string name, SweepEngine engine)
    {
        // begin example recording.md
        using RecordingReader reader = RecordingReader.Open(name, new RecordingOptions { Bits = 12 });
        ushort[] scans = new ushort[4_096 * reader.ChannelCount];
        while (true)
        {
            RecordingRead read = reader.Read(scans);
            if (read.Kind == RecordingReadKind.End) break;
            if (read.Kind == RecordingReadKind.Scans) engine.Process(scans.AsSpan(0, read.Scans * reader.ChannelCount));
            if (read.Kind == RecordingReadKind.Gap) engine.Skip(read.LostScans, read.Cause);
            if (read.Kind == RecordingReadKind.Break) engine.Break(read.Cause);
        }
        // end example
    }

    private static void WriteOne(string name, ushort[] scans, long lostScans)
    {
        // begin example recording.md
        using var writer = new RecordingWriter(name, new RecordingWriterOptions { Bits = 12, ScanRateHz = 100_000 });
        writer.Write(scans);
        writer.WriteGap(lostScans, GapCause.Overrun);
        writer.Write(scans);
        writer.WriteBreak(GapCause.Reset);
        writer.Write(scans);
        writer.Complete();
        // end example
    }

    private static void CaptureOne(string name, SyntheticSource source, CancellationToken cancel)
    {
        // begin example recording.md
        using var recorder = new CaptureRecorder(name, new CaptureOptions { Rotation = new CaptureRotation { MostBytes = 1L << 30 } });
        source.Run(recorder, cancel);
        recorder.Complete();
        // end example
    }

    private static void BenchOne(SweepEngine engine)
    {
        // begin example synthetic-bench.md
        SyntheticBench bench = new(new SyntheticOptions { Sweeps = 4, Ramp = new() { NoiseCodes = 2 } });
        ushort[] scans = new ushort[2 * 4_096];
        while (true)
        {
            SyntheticRead read = bench.Read(scans);              // whole scans, a gap, a break, or the end
            if (read.Kind == SyntheticReadKind.End) break;
            if (read.Kind == SyntheticReadKind.Scans) engine.Process(scans.AsSpan(0, (int)read.Count * 2));
            if (read.Kind == SyntheticReadKind.Gap) engine.Skip(read.Count, GapCause.Link);
            if (read.Kind == SyntheticReadKind.Break) engine.Break(GapCause.Reset);
        }
        // bench.Truth now lists every sweep; bench.SetupFor() is the setup that fits it.
        // end example

        Assert.NotEmpty(bench.Truth.Sweeps);
    }

    private static SweepEngine Engine() => new(new Setup(), new Ignore());

    private sealed class Ignore : ISweepSink
    {
        public void SweepEnded(in SweepView sweep)
        {
            // Only what the engine counts is looked at.
        }
    }
}
