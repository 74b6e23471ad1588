using System.Buffers;

namespace Acquire.Link.Tests.Doubles;

/// <summary>Takes what an encoder writes; remembers where each frame ends.</summary>
internal sealed class ByteList : IBufferWriter<byte>
{
    private byte[] _bytes = new byte[1 << 14];

    public int Count { get; private set; }

    /// <summary>Ends of the pieces that were written at once, which are frames.</summary>
    public List<int> Ends { get; } = [];

    public byte[] ToArray() => _bytes.AsSpan(0, Count).ToArray();

    /// <summary>The frames, each with its closing delimiter.</summary>
    public List<byte[]> Frames() => [.. Ends.Select((end, i) => _bytes[(i == 0 ? 0 : Ends[i - 1])..end])];

    public void Advance(int count)
    {
        Count += count;
        Ends.Add(Count);
    }

    public Memory<byte> GetMemory(int sizeHint = 0)
    {
        if (_bytes.Length - Count < Math.Max(1, sizeHint)) Array.Resize(ref _bytes, (2 * _bytes.Length) + sizeHint);
        return _bytes.AsMemory(Count);
    }

    public Span<byte> GetSpan(int sizeHint = 0) => GetMemory(sizeHint).Span;
}
