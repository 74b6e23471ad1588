using System.Buffers;

namespace Acquire.Capture;

/// <summary>Memory outside of the managed heap, seen as <see cref="Memory{T}"/>. Frees nothing: the memory is the caller's.</summary>
internal sealed unsafe class NativeWords(nint address, int wordCount) : MemoryManager<ushort>
{
    public override Span<ushort> GetSpan() => new((void*)address, wordCount);

    public override MemoryHandle Pin(int elementIndex = 0) => new((ushort*)address + elementIndex);

    public override void Unpin()
    {
        // Native memory does not move.
    }

    protected override void Dispose(bool disposing)
    {
        // The caller frees what the caller allocated.
    }
}
