using Acquire.Capture;

namespace Acquire.Sources.Synthetic;

/// <summary>What is lost on the way from converter to reader.</summary>
public sealed record LossModel
{
    /// <summary>Stated gaps.</summary>
    public IReadOnlyList<GapAt> Gaps { get; init; } = [];

    /// <summary>Stated breaks.</summary>
    public IReadOnlyList<BreakAt> Breaks { get; init; } = [];

    /// <summary>Mean distance between random gaps in delivered scans; null is none.</summary>
    public double? GapEveryScans { get; init; }

    /// <summary>Most scans that a random gap loses; each loses 1 to this many.</summary>
    /// <value>1 to 1e12; default 1,000.</value>
    public long GapMaxScans { get; init; } = 1_000;

    /// <summary>Mean distance between random breaks in delivered scans; null is none.</summary>
    public double? BreakEveryScans { get; init; }

    /// <summary>Most scans that pass unseen in a random break; each hides 1 to this many.</summary>
    /// <value>1 to 1e12; default 1,000.</value>
    public long BreakMaxScans { get; init; } = 1_000;

    /// <summary>Why scans are missing, as the truth says it; default <see cref="GapCause.Link"/>.</summary>
    public GapCause Cause { get; init; } = GapCause.Link;

    internal void Validate()
    {
        foreach (GapAt gap in Gaps)
        {
            Check.Range(gap.AtScan, 1, long.MaxValue, "Loss.Gaps.AtScan", "the number of scans delivered before the gap");
            Check.Range(gap.LostScans, 1, 1_000_000_000_000, "Loss.Gaps.LostScans", "a number of scans");
        }

        foreach (BreakAt b in Breaks)
        {
            Check.Range(b.AtScan, 1, long.MaxValue, "Loss.Breaks.AtScan", "the number of scans delivered before the break");
            Check.Range(b.HiddenScans, 0, 1_000_000_000_000, "Loss.Breaks.HiddenScans", "a number of scans");
        }

        if (GapEveryScans is { } gapEvery) Check.Range(gapEvery, 1, 1e15, "Loss.GapEveryScans", "a mean distance in scans");
        if (BreakEveryScans is { } breakEvery) Check.Range(breakEvery, 1, 1e15, "Loss.BreakEveryScans", "a mean distance in scans");
        Check.Range(GapMaxScans, 1, 1_000_000_000_000, "Loss.GapMaxScans", "a number of scans");
        Check.Range(BreakMaxScans, 1, 1_000_000_000_000, "Loss.BreakMaxScans", "a number of scans");
    }
}
