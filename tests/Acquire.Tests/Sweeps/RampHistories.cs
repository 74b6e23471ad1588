using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>Histories of a ramp given scan by scan.</summary>
internal static class RampHistories
{
    /// <summary>Their full code.</summary>
    public const int FullCode = 65_535;

    /// <summary>All scans of a ramp, with normal noise upon it.</summary>
    /// <param name="codes">The ramp, at most 4,096 scans.</param>
    /// <param name="noise">Deviation of the noise, in codes.</param>
    /// <param name="random">Where the noise comes from.</param>
    public static RampHistory Of(double[] codes, double noise, Random random)
    {
        RampHistory history = new(FullCode, 1 << 12);
        foreach (double code in codes)
        {
            double off = noise * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
            history.Push((ushort)Math.Clamp(Math.Round(code + off), 0, FullCode));
        }

        history.Flush();
        return history;
    }
}
