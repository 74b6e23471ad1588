using System.Runtime.CompilerServices;

namespace Acquire.Recordings.Words;

/// <summary>Signed word of 4 bytes.</summary>
internal readonly struct Signed32 : IWord
{
    public static int Bytes => 4;

    public static double Read(ref byte at) => Unsafe.ReadUnaligned<int>(ref at);
}
