using System.Runtime.CompilerServices;

namespace Acquire.Recordings.Words;

/// <summary>Double-precision floating point.</summary>
internal readonly struct Float64 : IWord
{
    public static int Bytes => 8;

    public static double Read(ref byte at) => Unsafe.ReadUnaligned<double>(ref at);
}
