using Acquire.Bench.Link;
using Acquire.Link;
using BenchmarkDotNet.Attributes;

namespace Acquire.Bench;

/// <summary>What does decoding the link cost, against copying the same bytes? 256 MiB from memory, frames of 1,024 bytes; an operation is a byte on the wire.</summary>
/// <remarks>Long operations suffer from other work on the machine; <c>link-speed</c> measures in slices.</remarks>
[MemoryDiagnoser]
public class DecodeLink
{
    private const int Bytes = 256 << 20;
    private byte[] _bytes = [];
    private byte[] _copy = [];
    private LinkDecoder _decoder = new(new LinkBytes.Listener());

    [Params(LinkPayload.Packed, LinkPayload.Random, LinkPayload.Small, LinkPayload.Worst)]
    public LinkPayload Payload { get; set; }

    [GlobalSetup]
    public void Setup()
    {
        _bytes = LinkBytes.Of(Payload, frameBytes: 1_024, Bytes)[..Bytes];
        _copy = new byte[Bytes];
        _decoder = new LinkDecoder(new LinkBytes.Listener());
    }

    [Benchmark(Baseline = true, OperationsPerInvoke = Bytes)]
    public byte CopyOnly()
    {
        _bytes.CopyTo(_copy, 0);
        return _copy[^1];
    }

    [Benchmark(OperationsPerInvoke = Bytes)]
    public long Decode()
    {
        _decoder.Take(_bytes);
        return _decoder.ScansDelivered;
    }
}
