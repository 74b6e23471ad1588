using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

public class RampRunTests
{
    // With a spike after it, the lower of two neighbours is first the peak where the second of the two is.
    [Theory]
    [InlineData(0)]
    [InlineData(4_095)]
    public void PlaceOfFew_EveryPlace_IsTheFirst(int mirror)
    {
        for (int at = 0; at < 64; at++)
        {
            ushort[] codes = [.. Enumerable.Repeat((ushort)(7 ^ mirror), 1 + 64)];
            codes[at] = codes[at + 1] = (ushort)(900 ^ mirror);
            codes[^1] = codes[^2] = (ushort)(900 ^ mirror);

            int few = RampRun.PlaceOfFew(900, ref codes[1], (ushort)mirror), many = RampRun.PlaceOf(900, ref codes[1], 0, (ushort)mirror);

            Assert.Equal(at, few);
            Assert.Equal(at, many);
        }
    }

    // They may say a little more than there is, never less: twice what the line is rounded by.
    [Fact]
    public void Offs_AnyLine_AreNoLessAndHardlyMoreThanTheyAre()
    {
        const double MostMore = 0.53;
        var random = new Random(4);
        for (int round = 0; round < 2_000; round++)
        {
            int scans = 16 * random.Next(1, 33);
            double first = random.NextDouble() * 4_000, slope = (random.NextDouble() - 0.5) * 4_000 / scans, noise = random.NextDouble() * 300;
            ushort[] codes = [.. Enumerable.Range(-1, scans + 1).Select(i => (ushort)Math.Clamp(first + (slope * i) + (noise * (random.NextDouble() - 0.5)), 0, 4_095))];
            double Off(int code, int i) => code - (first + (slope * i));
            double most = Enumerable.Range(0, scans).Max(i => Off(Math.Min(codes[i], codes[i + 1]), i));
            double least = Enumerable.Range(0, scans).Max(i => -Off(Math.Max(codes[i], codes[i + 1]), i));
            double mean = Enumerable.Range(0, scans / 16).Max(piece => Math.Abs(Enumerable.Range(16 * piece, 16).Average(i => Off(codes[i + 1], i))));

            int offset = (int)Math.Floor((first - codes[1]) * 65_536), step = (int)Math.Floor(slope * 65_536);
            (double saidMost, double saidLeast) = RampRun.PairsOff(ref codes[1], scans, offset, step);

            Assert.InRange(saidMost, most, most + MostMore);
            Assert.InRange(saidLeast, least, least + MostMore);
            Assert.InRange(RampRun.MostMeanOff(ref codes[1], scans, offset, step), mean, mean + MostMore);
        }
    }

    [Fact]
    public void PairsOff_ScanBeforeFarAway_SaysNothing()
    {
        ushort[] codes = [60_000, .. Enumerable.Repeat((ushort)100, 16)];

        Assert.Equal((double.PositiveInfinity, double.PositiveInfinity), RampRun.PairsOff(ref codes[1], 16, 0, 0));
    }
}
