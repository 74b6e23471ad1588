namespace Acquire.Scales;

/// <summary>What the screen's width stands for: the values at the start and at the end of the sweep.</summary>
/// <remarks>Fraction 0 is where the beam starts, 1 where the sweep ends. Frequency at a swept setting, time at zero span.</remarks>
/// <param name="Start">Value at fraction 0, in <paramref name="Unit"/>.</param>
/// <param name="End">Value at fraction 1, in <paramref name="Unit"/>.</param>
/// <param name="Unit">"Hz" or "s".</param>
public sealed record SweepAxis(double Start, double End, string Unit = "Hz")
{
    /// <summary>Pairs (screen fraction, share of the way from start to end) for a sweep that is not straight; empty is a straight line.</summary>
    /// <value>Strictly rising in both members, from (0, 0) to (1, 1); straight lines between points.</value>
    public IReadOnlyList<ShapePoint> Shape { get; init; } = [];

    /// <summary>Value at a screen fraction.</summary>
    /// <param name="fraction">Screen fraction; outside 0..1 the outer line is extended.</param>
    public double ValueAt(double fraction)
    {
        if (Shape.Count < 2) return Start + ((End - Start) * fraction);
        int i = 1;
        while (i < Shape.Count - 1 && fraction > Shape[i].Fraction) i++;
        ShapePoint a = Shape[i - 1], b = Shape[i];
        double share = a.Share + ((b.Share - a.Share) * (fraction - a.Fraction) / (b.Fraction - a.Fraction));
        return Start + ((End - Start) * share);
    }
}
