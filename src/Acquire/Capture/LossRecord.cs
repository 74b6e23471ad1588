namespace Acquire.Capture;

/// <summary>Where scans were lost, and how many before each scan, as far back as the history reaches.</summary>
internal sealed class LossRecord
{
    private const int Kept = 4_096;
    private readonly (long Scan, long Lost)[] _places = new (long, long)[Kept];
    private long _count;

    /// <summary>Scans lost in all.</summary>
    public long Lost { get; private set; }

    /// <summary>Scans are missing before a scan; 0 where nobody knows how many.</summary>
    public void Add(long scan, long lost)
    {
        Lost += lost;
        _places[_count++ % Kept] = (scan, Lost);
    }

    /// <summary>Whether scans are missing just before a scan.</summary>
    public bool IsBefore(long scan) => Before(scan).Scan == scan;

    /// <summary>First scan of those that lie side by side with a scan and before it: 0, or the one before which scans are missing.</summary>
    public long SegmentStartOf(long scan) => Math.Max(0, Before(scan).Scan);

    /// <summary>Position in the stream, lost scans counted, of a scan.</summary>
    public long PositionOf(long scan) => scan + Before(scan).Lost;

    /// <summary>The last place at a scan or before it; none is at scan -1.</summary>
    private (long Scan, long Lost) Before(long scan)
    {
        for (long i = _count - 1; i >= 0 && i > _count - 1 - Kept; i--)
            if (_places[i % Kept].Scan <= scan) return _places[i % Kept];
        return (-1, 0);
    }
}
