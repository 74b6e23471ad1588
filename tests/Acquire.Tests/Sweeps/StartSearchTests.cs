using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>Where a start is found does not depend on where its scans lie in the stream.</summary>
public sealed class StartSearchTests
{
    private const int Full = 4_095;

    [Fact]
    public void Find_ScansOneHundredBack_IsAsManyScansEarlier()
    {
        for (int rest = 0; rest < 30; rest++)
        {
            for (int seed = 0; seed < 40; seed++)
            {
                ushort[] codes = Codes(rest, seed);
                // As few scans before it as there can be, and some.
                StartPlace first = Find(codes, before: 0), later = Find(codes, before: 100);

                Assert.Equal((rest, seed, later.Foot - 100, later.Start - 100, later.Block), (rest, seed, first.Foot, first.Start, first.Block));
            }
        }
    }

    private static StartPlace Find(ushort[] codes, int before)
    {
        RampHistory history = new(Full, 1 << 12);
        foreach (ushort code in Enumerable.Repeat((ushort)2_000, before)) history.Push(code);
        history.Flush();
        history.StartSegment();
        foreach (ushort code in codes) history.Push(code);
        history.Flush();
        return new StartSearch().Find(history, before, before + codes.Length, sigma: 3.7, hums: false, rising: true, expected: default);
    }

    private static ushort[] Codes(int rest, int seed)
    {
        Random random = new((100 * rest) + seed);
        return [.. Enumerable.Range(0, rest + 600).Select(i => (ushort)(200 + Math.Max(0, i - rest) / 8 + random.Next(-6, 7)))];
    }
}
