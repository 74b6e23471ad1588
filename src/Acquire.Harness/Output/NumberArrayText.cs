namespace Acquire.Harness.Output;

/// <summary>The text of a JSON array of numbers, in memory that is used again; null where there is no number.</summary>
/// <param name="most">Numbers that it holds at most.</param>
internal sealed class NumberArrayText(int most)
{
    // A comma before each, and both brackets.
    private readonly byte[] _text = new byte[(most * (NumberText.MostBytes + 1)) + 2];

    /// <summary>Whole numbers.</summary>
    /// <param name="values">The numbers, at least one.</param>
    /// <returns>The array as text; valid until the next call.</returns>
    public ReadOnlySpan<byte> Of(ReadOnlySpan<long> values)
    {
        Span<byte> text = _text;
        int at = 0;
        foreach (long value in values)
        {
            text[at++] = (byte)',';
            at += NumberText.Write(text[at..], value);
        }

        return Bracketed(at);
    }

    /// <summary>What a detector makes of columns.</summary>
    /// <param name="values">The detector, which has taken the columns.</param>
    /// <param name="columnCount">Columns, at least one.</param>
    /// <returns>The array as text; valid until the next call.</returns>
    public ReadOnlySpan<byte> Of(DetectorTexts values, int columnCount)
    {
        Span<byte> text = _text;
        int at = 0;
        for (int column = 0; column < columnCount; column++)
        {
            text[at++] = (byte)',';
            int bytes = values.Write(text[at..], column);
            if (bytes == 0)
            {
                "null"u8.CopyTo(text[at..]);
                bytes = 4;
            }

            at += bytes;
        }

        return Bracketed(at);
    }

    // The first comma stands where the array begins.
    private ReadOnlySpan<byte> Bracketed(int length)
    {
        _text[0] = (byte)'[';
        _text[length] = (byte)']';
        return _text.AsSpan(0, length + 1);
    }
}
