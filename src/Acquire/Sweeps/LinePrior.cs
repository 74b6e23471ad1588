namespace Acquire.Sweeps;

/// <summary>What is known of a line before it is looked at.</summary>
/// <param name="Slope">Its slope, in codes per scan.</param>
/// <param name="SlopeWeight">What that is worth: the variance of a scan over that of the slope; 0 is nothing.</param>
/// <param name="Level">Code at which it starts.</param>
/// <param name="LevelWeight">What that is worth: the variance of a scan over that of the level; 0 is nothing.</param>
internal readonly record struct LinePrior(double Slope, double SlopeWeight, double Level = 0, double LevelWeight = 0)
{
    /// <summary>A line that does not rise or fall.</summary>
    public static LinePrior Flat => new(0, 1e15);
}
