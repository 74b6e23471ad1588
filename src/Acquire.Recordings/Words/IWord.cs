namespace Acquire.Recordings.Words;

/// <summary>One word wider than a code, in this machine's byte order except where 3 bytes are always low byte first.</summary>
internal interface IWord
{
    static abstract int Bytes { get; }

    static abstract double Read(ref byte at);
}
