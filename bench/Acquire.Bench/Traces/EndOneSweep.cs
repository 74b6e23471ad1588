using Acquire.Scales;
using BenchmarkDotNet.Attributes;

namespace Acquire.Bench.Traces;

/// <summary>What does each part of a sweep's end cost, against copying its trace? An operation is a sweep of 1,000 columns.</summary>
[MemoryDiagnoser]
public class EndOneSweep
{
    private SweepEnds _ends = null!;

    [Params(10, 10_000)]
    public int HistoryDepth { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        _ends = new SweepEnds(HistoryDepth, VerticalLaw.Logarithmic, domain: null);
        for (int i = 0; i < HistoryDepth; i++) _ends.HistoryRow();
    }

    [Benchmark(Baseline = true)]
    public void CopyOnly() => _ends.Copy();

    [Benchmark]
    public void Completion() => _ends.Completion();

    [Benchmark]
    public void Hold() => _ends.Hold();

    [Benchmark]
    public void Average() => _ends.Average();

    [Benchmark]
    public void Normalise() => _ends.Normalise();

    [Benchmark]
    public void HistoryRow() => _ends.HistoryRow();

    /// <summary>With the completion that changes what it copies.</summary>
    [Benchmark]
    public void CompletionAndSnapshot()
    {
        _ends.Completion();
        _ends.Snapshot();
    }
}
