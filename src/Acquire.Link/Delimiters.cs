using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Acquire.Link;

/// <summary>Finds the next zero byte, four vectors at a time: the distances are hundreds of bytes, and one test for each vector would cost more than reading it.</summary>
internal static class Delimiters
{
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

    private static Vector<byte> Load(ref byte first, int at) => Unsafe.ReadUnaligned<Vector<byte>>(ref Unsafe.Add(ref first, at));
}
