using Acquire.Sources.Synthetic;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>Every kind gives what its name says, for many seeds.</summary>
public sealed class BenchKindsTests
{
    public static TheoryData<BenchKind> AllButSlow => [.. Enum.GetValues<BenchKind>().Where(k => k != BenchKind.Slow)];

    [Theory]
    [MemberData(nameof(AllButSlow))]
    public void Draw_ManySeeds_CanBeReadToTheEnd(BenchKind kind)
    {
        ushort[] words = new ushort[6_144];
        long sweeps = 0;
        for (ulong seed = 0; seed < 6; seed++)
        {
            SyntheticBench bench = new(BenchKinds.Draw(kind, seed));
            while (bench.Read(words).Kind != SyntheticReadKind.End)
                Assert.InRange(bench.Position, 0, 3_000_000);
            sweeps += bench.Truth.SweepCount;
        }

        Assert.Equal(BenchKinds.HasRamp(kind), sweeps > 0);
    }

    [Fact]
    public void Draw_Slow_HasSweepsOfAHundredThousandScansAndMore()
    {
        for (ulong seed = 0; seed < 100; seed++)
        {
            SyntheticOptions options = BenchKinds.Draw(BenchKind.Slow, seed);
            options.Validate();
            Assert.InRange(options.Sweep.SweepScans, 1e5, 1e6);
        }
    }

    [Fact]
    public void Draw_SameKindAndSeed_IsTheSame()
    {
        BenchRun first = BenchRun.ToEnd(BenchKinds.Draw(BenchKind.Gaps, 3)), again = BenchRun.ToEnd(BenchKinds.Draw(BenchKind.Gaps, 3));
        BenchRun other = BenchRun.ToEnd(BenchKinds.Draw(BenchKind.Gaps, 4));

        Assert.Equal(first.Words, again.Words);
        Assert.NotEqual(first.Words, other.Words);
    }
}
