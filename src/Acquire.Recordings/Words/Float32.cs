using System.Runtime.CompilerServices;

namespace Acquire.Recordings.Words;

/// <summary>Single-precision floating point.</summary>
internal readonly struct Float32 : IWord
{
    public static int Bytes => 4;

    public static double Read(ref byte at) => Unsafe.ReadUnaligned<float>(ref at);
}
