namespace Acquire.Recordings.Words;

/// <summary>How a word's bits are understood.</summary>
internal enum WordKind
{
    Unsigned,
    Signed,
    Float,
}
