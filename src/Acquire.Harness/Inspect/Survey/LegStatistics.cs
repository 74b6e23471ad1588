namespace Acquire.Harness.Inspect.Survey;

/// <summary>Legs in one direction, summed.</summary>
internal sealed class LegStatistics
{
    /// <summary>Squared correlation from which a leg counts as fairly straight: a ramp that kinks or pauses on its way still does.</summary>
    public const double FairlyStraight = 0.9;

    /// <summary>Squared correlation from which a leg counts as straight: a ramp bowed by 13 % of its height, or with a ripple of 6 %, still does.</summary>
    public const double Straight = 0.98;

    /// <summary>Squared correlation from which a leg counts as very straight: half a wave of a sine, at 0.986, does not.</summary>
    public const double VeryStraight = 0.995;

    // Half of what a double holds to the last place.
    private const double MostExact = 1L << 52;

    /// <summary>Legs.</summary>
    public long Count { get; private set; }

    /// <summary>Legs that are fairly straight.</summary>
    public long FairlyStraightCount { get; private set; }

    /// <summary>Legs that are straight.</summary>
    public long StraightCount { get; private set; }

    /// <summary>Legs that are very straight.</summary>
    public long VeryStraightCount { get; private set; }

    /// <summary>Scans in all legs.</summary>
    public long Scans { get; private set; }

    /// <summary>Scans in legs that are fairly straight.</summary>
    public long FairlyStraightScans { get; private set; }

    private double _scanSquares;

    /// <summary>Scans of a leg on average; NaN without legs.</summary>
    public double MeanScans => Count == 0 ? double.NaN : (double)Scans / Count;

    /// <summary>Standard deviation of the legs' scans relative to their mean; NaN with fewer than two legs.</summary>
    public double RelativeSpread
    {
        get
        {
            if (Count < 2 || Scans == 0) return double.NaN;
            double variance = ((_scanSquares / Count) - (MeanScans * MeanScans)) * Count / (Count - 1);
            return Math.Sqrt(Math.Max(0, variance)) / MeanScans;
        }
    }

    /// <summary>Takes a leg.</summary>
    public void Add(in Leg leg)
    {
        Count++;
        Scans += leg.Scans;
        _scanSquares += (double)leg.Scans * leg.Scans;
        if (!(leg.Straightness >= FairlyStraight)) return;
        FairlyStraightCount++;
        FairlyStraightScans += leg.Scans;
        if (leg.Straightness >= Straight) StraightCount++;
        if (leg.Straightness >= VeryStraight) VeryStraightCount++;
    }

    /// <summary>Takes legs that are too short to be measured.</summary>
    /// <param name="count">How many.</param>
    /// <param name="scans">Scans of each.</param>
    public void AddShort(long count, int scans)
    {
        Count += count;
        Scans += count * scans;
        _scanSquares += (double)count * scans * scans;
    }

    /// <summary>With one more leg, no sum has been rounded, nor is it by any number of short ones before the next leg.</summary>
    /// <param name="scans">Scans of that leg.</param>
    public bool StaysExactWith(long scans) => _scanSquares + ((double)scans * scans) < MostExact;

    /// <summary>Takes all legs of another sum.</summary>
    public void Add(LegStatistics other)
    {
        Count += other.Count;
        StraightCount += other.StraightCount;
        VeryStraightCount += other.VeryStraightCount;
        Scans += other.Scans;
        FairlyStraightCount += other.FairlyStraightCount;
        FairlyStraightScans += other.FairlyStraightScans;
        _scanSquares += other._scanSquares;
    }
}
