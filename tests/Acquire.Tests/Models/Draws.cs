namespace Acquire.Tests.Models;

/// <summary>Parameters of a case, drawn from a range.</summary>
internal static class Draws
{
    public static double Between(this Random random, double low, double high) => low + ((high - low) * random.NextDouble());

    /// <summary>Evenly in its logarithm.</summary>
    public static double Log(this Random random, double low, double high) => Math.Exp(random.Between(Math.Log(low), Math.Log(high)));
}
