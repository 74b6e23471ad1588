using Acquire.Sources.Synthetic;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>The rows of random numbers.</summary>
public sealed class SeedStreamTests
{
    private const int Count = 200_000;

    [Fact]
    public void Normal_ManyNumbers_HaveTheMomentsOfTheNormalDistribution()
    {
        SeedStream stream = new(42, SeedStream.Effect.RampNoise);
        double sum = 0, squares = 0, fourth = 0, lagged = 0, before = 0;
        for (int i = 0; i < Count; i++)
        {
            double x = stream.Normal(i);
            sum += x;
            squares += x * x;
            fourth += x * x * x * x;
            lagged += x * before;
            before = x;
        }

        // Five standard errors of each estimate: 1, sqrt 2, sqrt 96 and 1 over sqrt n.
        double error = 5 / Math.Sqrt(Count);
        Assert.Equal(0, sum / Count, error);
        Assert.Equal(1, squares / Count, error * Math.Sqrt(2));
        Assert.Equal(3, fourth / Count, error * Math.Sqrt(96));
        Assert.Equal(0, lagged / Count, error);
    }

    [Fact]
    public void Uniform_TwoEffectsOfOneSeed_AreUncorrelated()
    {
        SeedStream one = new(7, SeedStream.Effect.RampNoise), other = new(7, SeedStream.Effect.VerticalNoise);
        double product = 0;
        for (int i = 0; i < Count; i++) product += (one.Uniform(i) - 0.5) * (other.Uniform(i) - 0.5);

        // Variance of a uniform number is 1/12.
        Assert.Equal(0, product / Count * 12, 5 / Math.Sqrt(Count));
    }

    [Fact]
    public void Bits_OfTheRawGenerator_AreSplitMix64()
    {
        // SplitMix64 started at 0 gives E220A8397B1DCDAF first (test value published with many implementations; from memory).
        // A row is that generator started elsewhere, so its numbers obey the same step: undo the output function and look at the difference.
        SeedStream stream = new(1, SeedStream.Effect.Walk);

        Assert.Equal(0x9E3779B97F4A7C15, unchecked(Unmix(stream.Bits(1)) - Unmix(stream.Bits(0))));
        Assert.Equal(0xE220A8397B1DCDAF, Remix(0x9E3779B97F4A7C15));
    }

    private static ulong Remix(ulong z)
    {
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }

    private static ulong Unmix(ulong z)
    {
        z = Unshift(z, 31) * Inverse(0x94D049BB133111EB);
        z = Unshift(z, 27) * Inverse(0xBF58476D1CE4E5B9);
        return Unshift(z, 30);
    }

    private static ulong Unshift(ulong z, int by)
    {
        ulong result = z;
        for (int i = by; i < 64; i += by) result = z ^ (result >> by);
        return result;
    }

    private static ulong Inverse(ulong odd)
    {
        ulong inverse = odd;
        for (int i = 0; i < 6; i++) inverse *= 2 - (odd * inverse); // Newton, doubles the right bits
        return inverse;
    }
}
