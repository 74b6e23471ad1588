using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics.X86;

namespace Acquire.Link;

/// <summary>Finds the next zero byte, four vectors at a time: the distances are hundreds of bytes, and one test for each vector would cost more than reading it.</summary>
internal static class Delimiters
{
    private const int Ahead = 4_096;
    private const int CacheLine = 64;

    /// <summary>Index of the first zero byte, or -1.</summary>
    public static int Find(ReadOnlySpan<byte> bytes)
    {
        ref byte first = ref MemoryMarshal.GetReference(bytes);
        int at = 0;
        for (; at <= bytes.Length - (4 * Vector<byte>.Count); at += 4 * Vector<byte>.Count)
        {
            Vector<byte> a = Vector.Min(Load(ref first, at), Load(ref first, at + Vector<byte>.Count));
            Vector<byte> b = Vector.Min(Load(ref first, at + (2 * Vector<byte>.Count)), Load(ref first, at + (3 * Vector<byte>.Count)));
            if (Vector.EqualsAny(Vector.Min(a, b), Vector<byte>.Zero)) break;
        }

        int found = bytes[at..].IndexOf((byte)0);
        return found < 0 ? -1 : at + found;
    }

    /// <summary>Asks for what comes a page further on, so that it is there when this piece is done; the processor's own foresight ends at pages.</summary>
    /// <param name="bytes">Bytes of which a piece begins.</param>
    /// <param name="count">Bytes of the piece.</param>
    public static unsafe void AskAhead(ReadOnlySpan<byte> bytes, int count)
    {
        if (!Sse.IsSupported || bytes.Length < Ahead + count) return;
        fixed (byte* first = bytes)
            for (int at = 0; at < count; at += CacheLine) Sse.Prefetch0(first + Ahead + at);
    }

    private static Vector<byte> Load(ref byte first, int at) => Unsafe.ReadUnaligned<Vector<byte>>(ref Unsafe.Add(ref first, at));
}
