using System.Buffers;

namespace Acquire.Harness.Instrument;

/// <summary>A buffer that is written, looked at and cleared, again and again.</summary>
internal sealed class FrameBuffer : IBufferWriter<byte>
{
    private byte[] _bytes = new byte[16 << 10];
    private int _count;

    /// <summary>What was written since the last clear; valid until the next write.</summary>
    public ReadOnlySpan<byte> Written => _bytes.AsSpan(0, _count);

    /// <summary>Begins anew.</summary>
    public void Clear() => _count = 0;

    public void Advance(int count) => _count += count;

    public Memory<byte> GetMemory(int sizeHint = 0)
    {
        Reserve(sizeHint);
        return _bytes.AsMemory(_count);
    }

    public Span<byte> GetSpan(int sizeHint = 0)
    {
        Reserve(sizeHint);
        return _bytes.AsSpan(_count);
    }

    private void Reserve(int size)
    {
        size = Math.Max(1, size);
        if (_bytes.Length - _count < size) Array.Resize(ref _bytes, Math.Max(2 * _bytes.Length, _count + size));
    }
}
