namespace Acquire.Harness.Inspect.Survey;

/// <summary>How often each code of one channel occurred; constant memory, whatever the recording's length.</summary>
internal sealed class CodeHistogram
{
    private readonly ValueCounts _codes = new();

    /// <summary>Codes counted.</summary>
    public long Total => _codes.Total;

    /// <summary>Scans per code, 65,536 entries.</summary>
    public ReadOnlySpan<long> Counts => _codes.Counts;

    /// <summary>Counts codes.</summary>
    public void Add(ReadOnlySpan<ushort> codes) => _codes.Add(codes);

    /// <summary>Lowest code that occurred, or -1 where there is none.</summary>
    public int Lowest => Counts.IndexOfAnyExcept(0L);

    /// <summary>Highest code that occurred, or -1 where there is none.</summary>
    public int Highest => Counts.LastIndexOfAnyExcept(0L);

    /// <summary>Mean code; NaN where there is none.</summary>
    public double Mean
    {
        get
        {
            Int128 sum = 0;
            ReadOnlySpan<long> counts = Counts;
            for (int code = 0; code < counts.Length; code++) sum += (Int128)counts[code] * code;
            return Total == 0 ? double.NaN : (double)sum / Total;
        }
    }

    /// <summary>Distinct codes that occurred.</summary>
    public int Distinct => Counts.Length - Counts.Count(0L);

    /// <summary>Code below which a share of all scans lies.</summary>
    /// <param name="share">0 to 1.</param>
    /// <returns>A code, or -1 where there is none.</returns>
    public int Quantile(double share)
    {
        if (Total == 0) return -1;
        long wanted = Math.Max(1, (long)Math.Ceiling(share * Total));
        long seen = 0;
        ReadOnlySpan<long> counts = Counts;
        for (int code = 0; code < counts.Length; code++)
        {
            seen += counts[code];
            if (seen >= wanted) return code;
        }

        return Highest;
    }

    /// <summary>Bits at the low end that are the same in every code.</summary>
    /// <returns>k where all codes leave the same remainder when divided by 2^k; 16 where there is at most one code.</returns>
    public int SteadyLowBits()
    {
        int first = Lowest;
        if (first < 0) return 16;
        int differing = 0;
        ReadOnlySpan<long> counts = Counts;
        for (int code = first; code < counts.Length; code++)
            if (counts[code] > 0) differing |= code ^ first;
        return differing == 0 ? 16 : int.TrailingZeroCount(differing);
    }

    /// <summary>Scans with codes in a range.</summary>
    /// <param name="first">First code.</param>
    /// <param name="end">One past the last code.</param>
    public long CountIn(int first, int end)
    {
        long count = 0;
        ReadOnlySpan<long> counts = Counts;
        for (int code = Math.Max(0, first); code < Math.Min(end, counts.Length); code++) count += counts[code];
        return count;
    }
}
