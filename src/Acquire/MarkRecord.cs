namespace Acquire;

/// <summary>Which mark holds from which position on, as far back as a few thousand marks.</summary>
internal sealed class MarkRecord
{
    private const int Kept = 4_096;
    private readonly (long Position, ushort? Word)[] _marks = new (long, ushort?)[Kept];
    private int _count;

    /// <summary>Position of the last mark, or -1.</summary>
    public long Last => _count == 0 ? -1 : _marks[(_count - 1) % Kept].Position;

    /// <summary>Notes a mark; positions do not go back.</summary>
    public void Add(long position, ushort word) => Note(position, word);

    /// <summary>Notes that no word holds from a position on, where one held before.</summary>
    public void End(long position)
    {
        // What was said of no scan before has never held.
        while (Last >= position) _count--;
        if (_count > 0 && _marks[(_count - 1) % Kept].Word is not null) Note(position, null);
    }

    /// <summary>What holds at a position: how many marks lie at or before it, and the word of the last of these or null.</summary>
    public (int Section, ushort? Word) At(long position)
    {
        int oldest = Math.Max(0, _count - Kept);
        for (int i = _count - 1; i >= oldest; i--)
            if (_marks[i % Kept].Position <= position) return (i + 1, _marks[i % Kept].Word);
        return (oldest, null);
    }

    private void Note(long position, ushort? word) => _marks[_count++ % Kept] = (position, word);
}
