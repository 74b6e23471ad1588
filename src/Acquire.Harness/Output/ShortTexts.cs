using System.Runtime.Intrinsics;

namespace Acquire.Harness.Output;

/// <summary>Short texts that are written over and over: each is copied as a whole with what lies behind it, whatever its length.</summary>
/// <param name="count">Texts; all are empty at first.</param>
internal sealed class ShortTexts(int count)
{
    /// <summary>Bytes of the longest text, and the room that writing any of them needs.</summary>
    public const int MostBytes = 32;

    private readonly Vector256<byte>[] _texts = new Vector256<byte>[count];
    private readonly byte[] _lengths = new byte[count];

    /// <summary>Replaces a text.</summary>
    /// <param name="index">Which.</param>
    /// <param name="text">At most <see cref="MostBytes"/>.</param>
    public void Set(int index, ReadOnlySpan<byte> text)
    {
        Span<byte> place = stackalloc byte[MostBytes];
        place.Clear();
        text.CopyTo(place);
        _texts[index] = Vector256.Create<byte>(place);
        _lengths[index] = (byte)text.Length;
    }

    /// <summary>Writes a text.</summary>
    /// <param name="text">Has room for <see cref="MostBytes"/>; what lies after the text changes too.</param>
    /// <param name="index">Which.</param>
    /// <returns>Bytes written.</returns>
    public int Write(Span<byte> text, int index)
    {
        _texts[index].CopyTo(text);
        return _lengths[index];
    }
}
