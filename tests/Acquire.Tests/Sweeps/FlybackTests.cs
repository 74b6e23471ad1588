using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>What is passed over many scans at a time shows no end of a flyback scan by scan either.</summary>
public sealed class FlybackTests
{
    private const int Full = 4_095;
    private const double Jump = 9.5;
    private const double High = 60.25;
    private const double Low = 41.5;

    [Theory]
    [InlineData(0)]
    [InlineData(Full)]
    public void SmoothFromEnd_AnyScans_PassesOverNoneThatCounts(int mirror)
    {
        Random random = new(mirror + 1);
        int passed = 0, feet = 0;
        for (int turn = 0; turn < 5_000; turn++)
        {
            // A flyback that comes down to its foot, and a ramp; here and there a scan that is off.
            int scans = random.Next(2, 200), bottom = random.Next(scans + 40) - 20, below = random.Next(2) == 0 ? scans : random.Next(-1, scans);
            ushort[] codes = [.. Enumerable.Range(0, scans).Select(i => Code(40 + (i < bottom ? bottom - i : (i - bottom) / 4) + random.Next(-2, 3) + (random.Next(60) == 0 ? 12 : 0)))];
            bool atFoot = false, wasAtFoot = false;
            int smooth = SweepFollower.SmoothFromEnd(codes, below, (ushort)mirror, Jump, High, Low, ref atFoot);

            Assert.Equal(0, smooth % 16);
            Assert.InRange(smooth, 0, Math.Max(0, scans - 2));
            for (int i = scans - 1; i >= scans - smooth; i--)
            {
                int later = Level(codes[i]), earlier = Level(codes[i - 1]);
                wasAtFoot |= i <= below && later <= Low;
                Assert.False(Math.Abs(later - earlier) > Jump || (wasAtFoot && Math.Min(later, earlier) > High));
            }

            Assert.Equal(wasAtFoot, atFoot);
            passed += smooth;
            if (atFoot) feet++;
        }

        // The scans are such that there is something to pass over and something to stop at, and a foot in some of them.
        Assert.InRange(passed, 50_000, 400_000);
        Assert.InRange(feet, 500, 4_500);

        ushort Code(int level) => (ushort)(level ^ mirror);

        int Level(ushort code) => code ^ mirror;
    }
}
