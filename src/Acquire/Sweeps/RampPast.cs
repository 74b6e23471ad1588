namespace Acquire.Sweeps;

/// <summary>What is known of the ramp before the history: means of blocks of scans that left it while no sweep was under way.</summary>
/// <remarks>
/// A very slow ramp leaves its rest so gently that its start has left the history before it shows. Blocks lie at multiples of their length,
/// so they are the same however the stream was cut. A block is 1/512 of the history, and 32 histories are kept: 33 million scans.
/// </remarks>
internal sealed class RampPast
{
    /// <summary>Blocks kept, a power of two.</summary>
    public const int Blocks = 1 << 14;

    private const int BlocksInHistory = 512;

    // As many as the history lets go at once.
    private const int LeastBlock = 64;

    private readonly RampHistory _history;
    private readonly double[] _means = new double[Blocks];
    private long _first;

    public RampPast(RampHistory history)
    {
        _history = history;
        BlockScans = ScansOf(history.Capacity);
    }

    /// <summary>Scans of a block, a power of two.</summary>
    public int BlockScans { get; }

    /// <summary>First scan of the oldest block; from there on to <see cref="End"/> none is missing.</summary>
    public long First => Math.Max(_first, End - ((long)Blocks * BlockScans));

    /// <summary>One past the last scan of the last block.</summary>
    public long End { get; private set; }

    /// <summary>Scans of a block for a history of a length.</summary>
    public static int ScansOf(int historyScans) => Math.Max(LeastBlock, historyScans / BlocksInHistory);

    /// <summary>Scans are about to come while no sweep is under way; takes the blocks that will leave the history.</summary>
    /// <param name="scans">How many.</param>
    public void Keep(int scans)
    {
        long come = _history.End + (_history.Pending is null ? 0 : 1);
        for (long end = (come + BlockScans) & -(long)BlockScans; end <= come + scans; end += BlockScans)
        {
            if (end < _history.Capacity) continue;
            long start = end - _history.Capacity;
            if (start != End) _first = start;
            End = start + BlockScans;
            _means[SlotOf(start)] = _history.Mean(start, End);
        }
    }

    /// <summary>The level from which the ramp has risen: the lowest block from a scan on.</summary>
    /// <param name="from">Blocks that begin before it do not count.</param>
    /// <param name="rising">Whether the ramp draws with rising codes; otherwise the highest block.</param>
    /// <param name="level">In codes.</param>
    /// <returns>False where no block is kept.</returns>
    public bool TryGetRest(long from, bool rising, out double level)
    {
        level = rising ? double.PositiveInfinity : double.NegativeInfinity;
        for (long start = AtOrAfter(Math.Max(from, First)); start < End; start += BlockScans)
        {
            double mean = _means[SlotOf(start)];
            level = rising ? Math.Min(level, mean) : Math.Max(level, mean);
        }

        return !double.IsInfinity(level);
    }

    /// <summary>Where the first block begins that holds no scan before this one.</summary>
    public long AtOrAfter(long scan) => (scan + BlockScans - 1) & -(long)BlockScans;

    private int SlotOf(long start) => (int)((start / BlockScans) & (Blocks - 1));
}
