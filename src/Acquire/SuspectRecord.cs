namespace Acquire;

/// <summary>Stretches of scans that hardware may have overwritten while they were read.</summary>
internal sealed class SuspectRecord
{
    private const int Kept = 1_024;
    private readonly (long From, long To)[] _stretches = new (long, long)[Kept];
    private long _count;

    /// <summary>Notes scans [from, to).</summary>
    public void Add(long from, long to)
    {
        if (from >= to) return;
        if (_count > 0 && _stretches[(_count - 1) % Kept].To == from) _stretches[(_count - 1) % Kept].To = to;
        else _stretches[_count++ % Kept] = (from, to);
    }

    /// <summary>Whether any scan from one on was noted.</summary>
    public bool Reaches(long scan) => _count > 0 && _stretches[(_count - 1) % Kept].To > scan;

    public bool Contains(long scan)
    {
        for (long i = _count - 1; i >= 0 && i > _count - 1 - Kept; i--)
        {
            (long from, long to) = _stretches[i % Kept];
            if (scan >= to) return false;
            if (scan >= from) return true;
        }

        return false;
    }
}
