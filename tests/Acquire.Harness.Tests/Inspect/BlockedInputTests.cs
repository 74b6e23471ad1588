using Acquire.Harness.Inspect;
using Acquire.Harness.Inspect.Findings;

namespace Acquire.Harness.Tests.Inspect;

/// <summary>Inputs that block direct voltage, from quick sweeps to those of which nothing comes through.</summary>
public class BlockedInputTests
{
    // First-order high-pass: the ratio of its time constant 1 / (2 pi f) to the sweep decides what is left of a ramp.
    [Theory]
    [InlineData(0.3)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(5)]
    [InlineData(20)]
    [InlineData(100)]
    public void Find_BehindACouplingCapacitor_IsSaid(double cornerHz)
    {
        IReadOnlyList<Finding> findings = Inspection.Find(Behind(cornerHz));

        Finding droop = Assert.Single(findings, finding => finding.Name is FindingName.RampDroops);
        Assert.Contains("direct", droop.Message + droop.Cure, StringComparison.Ordinal);
    }

    [Fact]
    public void Find_CoupledDirectly_IsNotSaid()
    {
        Assert.DoesNotContain(Inspection.Find(Behind(cornerHz: null)), finding => finding.Name is FindingName.RampDroops);
    }

    private static InspectionFacts Behind(double? cornerHz)
    {
        Bench bench = new() { Bits = 16, RampLow = 10_000, RampHigh = 50_000, RampNoise = 6, VerticalNoise = 6, Signal = x => 20_000 + (15_000 * Math.Exp(-Math.Pow((x - 0.6) / 0.05, 2))) };
        bench = bench with { Change = words => Couple(words, bench, cornerHz) };
        return bench.Look(bench.Setup, new RecordingFacts { Name = "sound", ZeroIsMiddle = true });
    }

    // The bench's noise passes the same filter, which does not change it much.
    private static void Couple(ushort[] words, Bench bench, double? cornerHz)
    {
        if (cornerHz is not { } corner) return;
        double keep = 1 / (1 + (2 * Math.PI * corner / bench.ScanRateHz!.Value));
        int period = 2 * (bench.SweepScans + bench.RetraceScans + bench.RestScans);
        for (int channel = 0; channel < 2; channel++)
        {
            // It has been connected for as long as it takes to settle: the filter begins with the first period, over and over.
            double before = words[channel], filtered = 0;
            for (int i = 0; i < 200 * bench.ScanRateHz / corner / 100; i++) Next(words[channel + (2 * (i % (period / 2)))]);
            for (int at = channel; at < words.Length; at += 2) words[at] = (ushort)Math.Clamp(32_768 + Math.Round(Next(words[at])), 0, 65_535);

            double Next(double word)
            {
                filtered = keep * (filtered + word - before);
                before = word;
                return filtered;
            }
        }
    }
}
