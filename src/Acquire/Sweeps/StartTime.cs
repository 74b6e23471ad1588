namespace Acquire.Sweeps;

/// <summary>When a sweep is expected to start: a flyback and a rest after the one before.</summary>
/// <param name="Scan">Scan.</param>
/// <param name="Variance">In scans squared; 0 where nothing is known.</param>
internal readonly record struct StartTime(double Scan, double Variance)
{
    // What lies further off was not waited for like the others: how far off it lies says no more.
    private const double MostDeviations = 4;

    /// <summary>Twice the logarithm by which a start is less likely than one just when it is expected.</summary>
    public double Against(long start)
    {
        if (Variance <= 0) return 0;
        double off = start - Scan;
        return Math.Min(off * off / Variance, MostDeviations * MostDeviations);
    }
}
