using Acquire.Bench.Speed;
using Acquire.Columns;
using Acquire.Sources.Synthetic;
using BenchmarkDotNet.Attributes;

namespace Acquire.Bench;

/// <summary>What does the engine cost per scan, against reading the words alone and against loops in C? An operation is a scan; scans come in halves.</summary>
[MemoryDiagnoser]
public class ProcessScans
{
    private const int Scans = 1_000_000; // whole sweeps with retrace and rest for each number of scans per column, so that the end joins the start
    private const int WordsPerHalf = 2 * 4_096;

    private ushort[] _words = [];
    private SweepEngine _direct = null!;
    private SweepEngine _fitted = null!;
    private CLoops _loops = null!;

    [Params(2, 20, 200)]
    public int ScansPerColumn { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        SyntheticOptions options = Words.Bench(ScansPerColumn, scans: null);
        _words = Words.Read(options, Scans);
        _loops = new CLoops(4_095, Words.Columns);
        _direct = new SweepEngine(Words.SetupFor(options, Placement.Direct), new NoSink());
        _fitted = new SweepEngine(Words.SetupFor(options, Placement.Fitted), new NoSink());
    }

    [Benchmark(Baseline = true, OperationsPerInvoke = Scans)]
    public int ReadOnly()
    {
        int sum = 0;
        for (int at = 0; at < _words.Length; at += WordsPerHalf) sum += Words.Highest(HalfAt(at));
        return sum;
    }

    /// <summary>Not available where there was no gcc.</summary>
    [Benchmark(OperationsPerInvoke = Scans)]
    public void PlainInC()
    {
        for (int at = 0; at < _words.Length; at += WordsPerHalf) _loops.Plain(HalfAt(at));
    }

    /// <summary>Not available where there was no gcc.</summary>
    [Benchmark(OperationsPerInvoke = Scans)]
    public void BranchFreeInC()
    {
        for (int at = 0; at < _words.Length; at += WordsPerHalf) _loops.BranchFree(HalfAt(at));
    }

    [Benchmark(OperationsPerInvoke = Scans)]
    public long Direct() => Process(_direct);

    [Benchmark(OperationsPerInvoke = Scans)]
    public long Fitted() => Process(_fitted);

    private long Process(SweepEngine engine)
    {
        for (int at = 0; at < _words.Length; at += WordsPerHalf) engine.Process(HalfAt(at));
        return engine.Traces[0].Version;
    }

    private ReadOnlySpan<ushort> HalfAt(int at) => _words.AsSpan(at, Math.Min(WordsPerHalf, _words.Length - at));
}
