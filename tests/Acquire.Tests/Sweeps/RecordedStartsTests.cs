using System.Runtime.InteropServices;
using Acquire.Sweeps;

namespace Acquire.Tests.Sweeps;

/// <summary>Sweeps of the circuit-simulated recordings: a ramp generator's flyback turns into the ramp with no rest.</summary>
public sealed class RecordedStartsTests
{
    private const int PeriodScans = 44_000;
    private const int SweepScans = 40_000;

    // A tenth of the 0.1 % asked for: the turn is sharp, and noise moves it by less than a scan.
    private const int Off = 4;

    [Theory]
    [InlineData("through")]
    [InlineData("bandstop")]
    public void Tracker_CircuitSimulated_StartsWhereTheFlybackTurns(string name)
    {
        CollectedSweeps sweeps = new();
        SweepTracker tracker = new(RampDirection.Auto, 4_095, given: null, sweeps, RampHistory.DefaultCapacity);
        ReadOnlySpan<ushort> words = MemoryMarshal.Cast<byte, ushort>(File.ReadAllBytes(Path.Combine(AppContext.BaseDirectory, "data", name + ".sigmf-data")));
        for (int i = 0; i < words.Length; i += 2) tracker.Push(words[i]);
        tracker.Complete();

        Assert.Equal(5, sweeps.Ended.Count);
        Assert.All(sweeps.Ended.Index(), found => Assert.InRange(found.Item.StartScan, (found.Index * PeriodScans) - Off, (found.Index * PeriodScans) + Off));
        Assert.All(sweeps.Ended.Take(4).Index(), found => Assert.InRange(found.Item.EndScan, (found.Index * PeriodScans) + SweepScans - Off, (found.Index * PeriodScans) + SweepScans + Off));
    }
}
