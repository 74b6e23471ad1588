using System.Runtime.CompilerServices;

namespace Acquire.Recordings.Words;

/// <summary>Signed word of 3 bytes, low byte first.</summary>
internal readonly struct Signed24 : IWord
{
    public static int Bytes => 3;

    public static double Read(ref byte at) =>
        ((sbyte)Unsafe.Add(ref at, 2) << 16) | (Unsafe.Add(ref at, 1) << 8) | at;
}
