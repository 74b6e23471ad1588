using Acquire.Sources.Synthetic;
using Acquire.Sweeps;
using CsCheck;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>What must hold for any options: the same words however cut, every scan accounted for, truth and words in agreement.</summary>
public sealed class SyntheticBenchPropertyTests
{
    [Fact]
    public void Read_HoweverCut_GivesTheSameWordsAndTruth() =>
        Gen.Select(RandomOptions.Any, Gen.Int[0, 60].Array[1, 40]).Sample((options, cuts) =>
        {
            BenchRun whole = BenchRun.ToEnd(options);
            int cut = 0;
            BenchRun pieces = BenchRun.ToEnd(options, () => Math.Max(cuts[cut++ % cuts.Length], cut % cuts.Length == 0 ? 1 : 0));

            Assert.Equal(whole.Words, pieces.Words);
            Assert.Equal(whole.Truth, pieces.Truth);
            Assert.Equal(whole.Losses, pieces.Losses);
            Assert.Equal(whole.Bench.Truth.Sweeps, pieces.Bench.Truth.Sweeps);
        });

    [Fact]
    public void Read_AnyOptions_AccountsForEveryScan() =>
        RandomOptions.Any.Sample(options =>
        {
            BenchRun run = BenchRun.ToEnd(options);

            SyntheticTruth truth = run.Bench.Truth;
            Assert.True(truth.Ended);
            Assert.Equal(options.Scans, truth.Scans);
            Assert.Equal(truth.Scans, truth.InColumns + truth.Overscan + truth.Retrace + truth.Rest + truth.Blanked + truth.Unassigned);
            Assert.Equal(truth.Lost, truth.Gaps.Sum(g => g.LostScans));
            Assert.Equal(truth.Scans + truth.Lost, run.Bench.Position);
            Assert.True(run.Words.All(w => w <= run.Bench.Format.FullCode));
            AssertSweepsAgreeWithScans(run);
        });

    [Fact]
    public void Read_NoiseFreeRamp_IsWithinHalfACodeOfTheTruth() =>
        RandomOptions.Any.Where(o => o.Ramp.HasSweeps).Sample(options =>
        {
            SyntheticOptions clean = options with
            {
                Ramp = options.Ramp with { NoiseCodes = 0, Hum = null, Spikes = null },
                Converter = new(),
            };
            BenchRun run = BenchRun.ToEnd(clean);

            int ramp = run.Bench.Format.RampChannel;
            for (int k = 0; k < run.ScanCount; k++)
            {
                double level = Math.Clamp(run.Truth[k].RampCodes, 0, run.Bench.Format.FullCode);
                Assert.InRange(run.Word(k, ramp) - level, -0.5, 0.5);
                if (clean.Ramp is { CouplingHz: null, OffsetDriftPerSecond: 0 })
                    Assert.Equal(run.Truth[k].Fraction, run.Bench.TrueFractionOf(run.Truth[k].RampCodes), 1e-9);
            }
        });

    [Fact]
    public void Read_AnyOptions_FractionNeverRunsBackInsideASweep() =>
        RandomOptions.Any.Where(o => o.Ramp.HasSweeps).Sample(options =>
        {
            BenchRun run = BenchRun.ToEnd(options with { Ramp = options.Ramp with { Hum = null } });

            foreach (TrueSweep sweep in run.Bench.Truth.Sweeps)
            {
                double sign = sweep.Direction == RampDirection.Falling && options.Ramp.Kind == RampKind.BothWays ? -1 : 1;
                for (int k = (int)sweep.StartScan + 1; k < sweep.EndScan; k++)
                    Assert.True(sign * (run.Truth[k].Fraction - run.Truth[k - 1].Fraction) >= -1e-12);
            }
        });

    private static void AssertSweepsAgreeWithScans(BenchRun run)
    {
        long listed = 0;
        foreach (TrueSweep sweep in run.Bench.Truth.Sweeps)
        {
            Assert.True(sweep.StartScan < sweep.EndScan);
            Assert.Equal(sweep.EndScan - sweep.StartScan, sweep.EndPosition - sweep.StartPosition);
            for (int k = (int)sweep.StartScan; k < sweep.EndScan; k++)
            {
                Assert.Equal(sweep.Number, run.Truth[k].Sweep);
                Assert.Equal(sweep.InstrumentSweep, run.Truth[k].InstrumentSweep);
            }

            listed += sweep.EndScan - sweep.StartScan;
        }

        Assert.Equal(listed, run.Truth.Count(t => t.Sweep >= 0));
        Assert.Equal(listed, run.Truth.Count(t => t.Phase is ScanPhase.Sweep or ScanPhase.Blanked));
    }
}
