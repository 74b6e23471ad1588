using Acquire.Capture;
using BenchmarkDotNet.Attributes;

namespace Acquire.Bench;

/// <summary>What does a ping-pong buffer add to copying and reading one half of 4,096 scans? An operation is a half, on one thread.</summary>
[MemoryDiagnoser]
public class PassOneHalf
{
    private const int ScansPerHalf = 4_096;
    private readonly PingPongBuffer _drop = new(new PingPongOptions { ScansPerHalf = ScansPerHalf });
    private readonly PingPongBuffer _overwrite = new(new PingPongOptions { ScansPerHalf = ScansPerHalf, Policy = OverrunPolicy.Overwrite });
    private readonly ushort[] _plain = new ushort[2 * ScansPerHalf];
    private ushort[] _source = [];
    private int _index;

    [GlobalSetup]
    public void Setup() => _source = Words.Read(Words.Bench(20, scans: null), ScansPerHalf);

    [Benchmark(Baseline = true)]
    public int CopyAndReadOnly()
    {
        _source.CopyTo(_plain, 0);
        return Words.Highest(_plain);
    }

    [Benchmark]
    public int Drop()
    {
        if (!_drop.TryBeginFill(out Span<ushort> room)) throw new InvalidOperationException("The half before was drained, yet no half is free.");
        _source.CopyTo(room);
        _drop.CompleteFill(ScansPerHalf);
        return Drain(_drop);
    }

    [Benchmark]
    public int Overwrite()
    {
        _source.CopyTo(_overwrite.MemoryOf(_index).Span);
        _overwrite.HalfReady(_index);
        _index ^= 1;
        return Drain(_overwrite);
    }

    private static int Drain(PingPongBuffer buffer)
    {
        if (!buffer.TryBeginDrain(out DrainedHalf half)) throw new InvalidOperationException("A half was handed over, yet none is ready.");
        int highest = Words.Highest(half.Scans);
        return highest + (int)buffer.CompleteDrain();
    }
}
