namespace Acquire.Harness.Output;

/// <summary>The text of a JSON array of numbers, in memory that is used again; null where there is no number.</summary>
/// <param name="most">Numbers that it holds at most.</param>
internal sealed class NumberArrayText(int most)
{
    // A comma before each, and both brackets.
    private readonly byte[] _text = new byte[(most * (NumberText.MostBytes + 1)) + 2];
    private int _length;

    /// <summary>Begins another array.</summary>
    public void Clear() => _length = 0;

    /// <summary>Adds a whole number.</summary>
    public void Add(long value)
    {
        Separate();
        _length += NumberText.Write(_text.AsSpan(_length), value);
    }

    /// <summary>Adds a number, or null where it is none.</summary>
    public void Add(double value)
    {
        Separate();
        if (double.IsFinite(value))
        {
            _length += NumberText.Write(_text.AsSpan(_length), value);
            return;
        }

        "null"u8.CopyTo(_text.AsSpan(_length));
        _length += 4;
    }

    /// <summary>The array as text; valid until the next call.</summary>
    public ReadOnlySpan<byte> Array()
    {
        if (_length == 0) return "[]"u8;
        _text[_length] = (byte)']';
        return _text.AsSpan(0, _length + 1);
    }

    private void Separate() => _text[_length++] = (byte)(_length == 1 ? '[' : ',');
}
