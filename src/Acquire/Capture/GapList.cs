namespace Acquire.Capture;

/// <summary>The gaps at one place of the stream, in at most seven entries and without losing a count.</summary>
/// <remarks>
/// Between two gaps of one place no scan arrived, so the order of known losses means nothing except on which side of a break they lie:
/// one entry per known cause before the first break, the break, one entry per known cause after it. A second break is the same
/// unknown again; what was lost between the two is kept with what was lost after.
/// </remarks>
internal sealed class GapList
{
    private const int KnownCauses = 3;
    private readonly ScanGap[] _gaps = new ScanGap[(2 * KnownCauses) + 1];
    private int _count;
    private int _afterBreak;

    public ReadOnlySpan<ScanGap> Gaps => _gaps.AsSpan(0, _count);

    public void Add(ScanGap gap)
    {
        if (gap.IsBreak)
        {
            if (_afterBreak > 0) return;
            _gaps[_count++] = gap;
            _afterBreak = _count;
            return;
        }

        for (int i = _afterBreak; i < _count; i++)
        {
            if (_gaps[i].Cause != gap.Cause) continue;
            _gaps[i] = gap with { LostScans = _gaps[i].LostScans + gap.LostScans };
            return;
        }

        _gaps[_count++] = gap;
    }

    public void Clear() => _count = _afterBreak = 0;

    /// <summary>Takes over what the other list holds and leaves it empty.</summary>
    public void TakeFrom(GapList other)
    {
        other.Gaps.CopyTo(_gaps);
        _count = other._count;
        _afterBreak = other._afterBreak;
        other.Clear();
    }
}
