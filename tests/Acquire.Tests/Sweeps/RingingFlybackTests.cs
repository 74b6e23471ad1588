using Acquire.Sweeps;
using Acquire.Tests.Models;

namespace Acquire.Tests.Sweeps;

/// <summary>Flybacks that undershoot and ring, as old sweep generators' do: one sweep per ramp, and none of a swing.</summary>
public sealed class RingingFlybackTests
{
    private static int Seeds => int.TryParse(Environment.GetEnvironmentVariable("ACQUIRE_SEEDS"), out int n) ? n : 60;

    [Fact]
    public void Tracker_FlybackThatRings_OneSweepPerRamp()
    {
        int sweeps = 0, off = 0;
        for (int seed = 0; seed < Seeds; seed++)
        {
            RingingRamp ramp = RingingRamp.Draw(seed);
            CollectedSweeps found = SweepsOf(ramp);
            string what = $"seed {seed}, {ramp}: {string.Join(", ", found.Ended.Select(s => $"{s.StartScan}-{s.EndScan} {s.EndReason}"))}";

            Assert.True(found.Ended.Count == ramp.Sweeps.Count, what);
            Assert.Equal(1, found.Locks);
            for (int i = 0; i < ramp.Sweeps.Count; i++)
            {
                (long start, long end) = ramp.Sweeps[i];
                TrackedSweep got = found.Ended[i];
                Assert.True(Math.Min(got.EndScan, end) - Math.Max(got.StartScan, start) > 0.8 * (end - start), what);
                Assert.True(got.EndReason == SweepEnd.Retrace, what);
                sweeps++;
                if (Math.Max(Math.Abs(got.StartScan - start), Math.Abs(got.EndScan - end)) > ramp.LimitScans) off++;
            }
        }

        // A start some scans beyond a limit of two or three, as without ringing.
        Assert.True(off <= Math.Max(2, 0.005 * sweeps), $"{off} of {sweeps} off.");
    }

    // A third of the way, then back as fast as any flyback, and that rings too.
    [Fact]
    public void Tracker_SweepsAbortedOnARampThatRings_AreFound()
    {
        for (int seed = 0; seed < Seeds / 3; seed++)
        {
            RingingRamp ramp = RingingRamp.Draw(seed) with { AbortEvery = 3, AbortShare = 0.33 };
            CollectedSweeps found = SweepsOf(ramp);

            Assert.Equal(ramp.Sweeps.Count, found.Ended.Count);
            Assert.Equal(ramp.Sweeps.Count(s => ramp.Aborts(s)), found.Ended.Count(s => s.EndReason == SweepEnd.Abort));
        }
    }

    [Fact]
    public void Tracker_RecordingThatEndsWithinASwing_EndsWithTheLastSweep()
    {
        RingingRamp ramp = new() { SweepScans = 2_000, RetraceScans = 100, Undershoot = 0.15, PeriodScans = 80, DecayScans = 120, RestScans = 400, NoiseCodes = 1, Count = 4 };
        // From the bottom of the first swing to its top, and on to the next.
        for (int behind = 10; behind < 160; behind += 10)
        {
            CollectedSweeps found = SweepsOf(ramp, upTo: (int)ramp.Sweeps[^1].End + 100 + behind);

            Assert.True(found.Ended.Count == 4, $"{found.Ended.Count} sweeps where the recording ends {behind} scans behind the flyback.");
        }
    }

    private static CollectedSweeps SweepsOf(RingingRamp ramp, int upTo = int.MaxValue) => CollectedSweeps.Of(ramp.Codes().Take(upTo), new CollectedSweeps(), ramp.FullCode);
}
