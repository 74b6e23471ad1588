using Acquire.Sweeps;
using Acquire.Tests.Models;

namespace Acquire.Tests.Sweeps;

/// <summary>Searches that leave out what cannot win find what those find that try every place.</summary>
public sealed class CornerSearchTests
{
    [Fact]
    public void Find_RampThatHalts_IsWhereItHalts()
    {
        RampHistory history = RampHistories.Of([.. Enumerable.Range(0, 200).Select(i => 1_000 + (5.0 * Math.Min(i, 120)))], noise: 0, new Random(1));

        Assert.Equal(121, new CornerSearch().Find(history, 0, 200, sigma: 0.3), tolerance: 1);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Corner_AnyPieces_IsThatOfEveryPlace(int seed)
    {
        Random random = new(seed);
        CornerSearch search = new();
        for (int i = 0; i < 400; i++)
        {
            double sigma = random.Next(3) == 0 ? 0.3 : Math.Exp(random.NextDouble() * 5);
            RampHistory history = RampHistories.Of(Pieces(random, random.Next(4, 3_000), sigma), sigma, random);
            long from = random.NextInt64(0, history.End - 3);

            Assert.Equal(PlainCorner.Find(history, from, history.End, sigma), search.Find(history, from, history.End, sigma));
        }
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Start_AnyPieces_IsThatOfEveryPair(int seed)
    {
        Random random = new(seed);
        StartSearch search = new();
        for (int i = 0; i < 1_000; i++)
        {
            double sigma = random.Next(3) == 0 ? 0.3 : Math.Exp(random.NextDouble() * 5);
            RampHistory history = RampHistories.Of(Pieces(random, random.Next(4, 49), sigma), sigma, random);
            bool rising = random.Next(2) == 0;
            StartTime expected = random.Next(2) == 0 ? default : new StartTime(random.NextDouble() * history.End, random.Next(1, 20));

            Assert.Equal(PlainStart.Find(history, 0, history.End, sigma, rising, expected), search.Find(history, 0, history.End, sigma, hums: false, rising, expected));
        }
    }

    /// <summary>Up to three lines one behind the other, joined or not; steep and flat beside the noise.</summary>
    private static double[] Pieces(Random random, int scans, double sigma)
    {
        double[] codes = new double[scans];
        int first = random.Next(scans), second = random.Next(first, scans);
        double code = 20_000 + (random.NextDouble() * 20_000), slope = Slope();
        for (int i = 0; i < scans; i++)
        {
            if (i == first || i == second)
            {
                slope = Slope();
                if (random.Next(3) == 0) code += sigma * 20 * (random.NextDouble() - 0.5);
            }

            codes[i] = code = Math.Clamp(code + slope, 1_000, RampHistories.FullCode - 1_000);
        }

        return codes;

        double Slope() => random.Next(4) == 0 ? 0 : (random.Next(2) == 0 ? 1 : -1) * sigma * Math.Exp(6 * (random.NextDouble() - 0.7));
    }
}
