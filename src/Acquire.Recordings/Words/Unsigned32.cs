using System.Runtime.CompilerServices;

namespace Acquire.Recordings.Words;

/// <summary>Unsigned word of 4 bytes.</summary>
internal readonly struct Unsigned32 : IWord
{
    public static int Bytes => 4;

    public static double Read(ref byte at) => Unsafe.ReadUnaligned<uint>(ref at);
}
