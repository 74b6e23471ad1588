using Acquire.Sources.Synthetic;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>What bends and disturbs the ramp, one option at a time.</summary>
public sealed class RampSignalTests
{
    private static SyntheticOptions Plain { get; } = new()
    {
        Bits = 16,
        Ramp = new() { Low = 0.1, High = 0.9 },
        Sweep = new() { SweepScans = 1_000, RetraceScans = 100, RestScans = 100 },
        Sweeps = 2,
    };

    [Fact]
    public void Noise_OnTheRamp_HasItsRms()
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Ramp = Plain.Ramp with { NoiseCodes = 40 }, Sweeps = 50 });

        double squares = Enumerable.Range(0, run.ScanCount).Average(k => Math.Pow(run.Word(k, 0) - run.Truth[k].RampCodes, 2));
        Assert.Equal(40, Math.Sqrt(squares), 40 * 5 / Math.Sqrt(2.0 * run.ScanCount));
    }

    [Fact]
    public void Hum_OnTheRamp_HasAmplitudeAndFrequency()
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Ramp = Plain.Ramp with { Hum = new(100, 250, 0.125) }, ScanRateHz = 10_000, Sweeps = 10 });

        for (int k = 0; k < run.ScanCount; k++)
            Assert.Equal(100 * Math.Sin(2 * Math.PI * ((k * 0.025) + 0.125)), run.Word(k, 0) - run.Truth[k].RampCodes, 0.51);
    }

    // A saw's harmonics are 1/2, 1/3, 1/4 ... of its first one (the Fourier series of (pi - x) / 2 is the sum of sin(k x) / k).
    [Fact]
    public void Hum_WithTheOvertonesOfASaw_IsNearlyASaw()
    {
        Hum saw = new(100, 250, 0.125) { Overtones = [.. Enumerable.Range(2, 400).Select(k => new Overtone(1.0 / k))] };
        BenchRun run = BenchRun.ToEnd(Plain with { Ramp = Plain.Ramp with { Hum = saw }, ScanRateHz = 10_000, Sweeps = 10 });

        for (int k = 0; k < run.ScanCount; k++)
        {
            double turns = ((k * 0.025) + 0.125) % 1;
            if (Math.Min(turns, 1 - turns) > 0.04) Assert.Equal(100 * Math.PI * (0.5 - turns), run.Word(k, 0) - run.Truth[k].RampCodes, 1.6);
        }
    }

    [Fact]
    public void Hum_ThatIsReal_MovesBeamAndVertical()
    {
        SyntheticOptions options = Plain with
        {
            Ramp = Plain.Ramp with { Hum = new(655.35, 250), HumIsReal = true },
            Verticals = [new() { LevelFunction = (fraction, _, _) => fraction }],
            ScanRateHz = 10_000,
        };
        BenchRun run = BenchRun.ToEnd(options);

        for (int k = 0; k < 1_000; k++)
        {
            double hum = 0.01 / 0.8 * Math.Sin(2 * Math.PI * k * 0.025); // 1 % of the converter on a ramp of 80 %
            Assert.Equal((k / 1_000.0) + hum, run.Truth[k].Fraction, 1e-9);
            Assert.Equal(run.Truth[k].Fraction, run.Truth[k].Level, 1e-12);
        }
    }

    [Theory]
    [InlineData(SpikeDirection.Up)]
    [InlineData(SpikeDirection.Down)]
    [InlineData(SpikeDirection.Either)]
    public void Spikes_OnTheRamp_ComeAtTheirRateAndPointTheirWay(SpikeDirection direction)
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Ramp = Plain.Ramp with { Spikes = new(100, 3_000, direction) }, Sweeps = 100 });

        double[] spikes = [.. Enumerable.Range(0, run.ScanCount).Select(k => run.Word(k, 0) - run.Truth[k].RampCodes).Where(d => Math.Abs(d) > 1)];
        Assert.InRange(spikes.Length, run.ScanCount / 100 * 0.8, run.ScanCount / 100 * 1.2); // 1,200 expected, 5 standard errors are 173
        Assert.All(spikes, s => Assert.Equal(3_000, Math.Abs(s), 1.0));
        Assert.Equal(direction != SpikeDirection.Down, spikes.Any(s => s > 0));
        Assert.Equal(direction != SpikeDirection.Up, spikes.Any(s => s < 0));
    }

    [Fact]
    public void Spikes_WithoutAmplitude_ReachTheRail()
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Ramp = Plain.Ramp with { Spikes = new(50) } });

        Assert.Contains((ushort)0, run.Channel(0));
        Assert.Contains((ushort)65_535, run.Channel(0));
    }

    [Fact]
    public void Bow_InTheMiddle_LeadsByItsPart()
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Ramp = Plain.Ramp with { Bow = 0.1 } });

        Assert.Equal(0.6, run.Truth[500].Fraction, 1e-12);
        Assert.Equal(0, run.Truth[0].Fraction, 1e-12);
        Assert.Equal(0.25 + (0.4 * 0.25 * 0.75), run.Truth[250].Fraction, 1e-12);
    }

    [Fact]
    public void Kink_ChangesTheSlopeAtItsPoint()
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Ramp = Plain.Ramp with { Kink = new(0.5, 0.2) } });

        Assert.Equal([0.1, 0.2, 0.6], new[] { 250, 500, 750 }.Select(k => Math.Round(run.Truth[k].Fraction, 12)));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Pause_InASweep_HaltsAndGoesOnAsOneSweep(bool blanked)
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Ramp = Plain.Ramp with { Pause = new(0.4, 300, blanked) } });

        Assert.Equal(2, run.Bench.Truth.Sweeps.Count);
        Assert.Equal((0L, 1_300L, true), (run.Bench.Truth.Sweeps[0].StartScan, run.Bench.Truth.Sweeps[0].EndScan, run.Bench.Truth.Sweeps[0].Complete));
        Assert.All(Enumerable.Range(400, 300), k => Assert.Equal(0.4, run.Truth[k].Fraction, 1e-12));
        Assert.Equal(0.401, run.Truth[701].Fraction, 1e-12);
        Assert.Equal(blanked ? 600 : 0, run.Bench.Truth.Blanked);
        Assert.Equal(blanked, run.Truth[500].BeamOff);
    }

    [Fact]
    public void Overscan_BesideTheScreen_IsCountedApart()
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Ramp = Plain.Ramp with { Overscan = 0.05 }, Sweeps = 1 });

        Assert.Equal(-0.05, run.Truth[0].Fraction, 1e-12);
        Assert.Equal(1_000, run.Bench.Truth.InColumns + run.Bench.Truth.Overscan);
        Assert.InRange(run.Bench.Truth.Overscan, 89, 92); // a tenth of eleven tenths of 1,000
    }

    [Fact]
    public void Steps_MakeAStaircaseThatTheBeamFollows()
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Ramp = Plain.Ramp with { Steps = 5 }, Sweeps = 1 });

        Assert.Equal([0, 0.25, 0.5, 0.75, 1], run.Truth.Take(1_000).Select(t => t.Fraction).Distinct());
    }

    [Fact]
    public void Drift_MovesTheLineAndNotTheBeam()
    {
        // 0.01 of the converter per second of offset, 0.02 per second of size.
        SyntheticOptions options = Plain with { Ramp = Plain.Ramp with { OffsetDriftPerSecond = 0.01, SizeDriftPerSecond = 0.02 }, ScanRateHz = 1_000, Sweeps = 5 };
        BenchRun run = BenchRun.ToEnd(options);

        Assert.Equal(0.5, run.Truth[2_900].Fraction, 1e-12);
        Assert.Equal((0.1 + 0.029 + (0.8 * 1.058 * 0.5)) * 65_535, run.Truth[2_900].RampCodes, 1e-6);
    }

    [Fact]
    public void Coupling_MakesTheRestDecayTowardsTheMiddle()
    {
        // A pole of 10,000 scans: over a rest of 6,931 scans the level's distance from the middle halves.
        SyntheticOptions options = Plain with
        {
            Ramp = Plain.Ramp with { CouplingHz = 100_000 / (2 * Math.PI * 10_000) },
            Sweep = Plain.Sweep with { RestScans = 20_000 },
        };
        BenchRun run = BenchRun.ToEnd(options);

        double early = run.Truth[2_000].RampCodes - 32_767.5, late = run.Truth[2_000 + 6_931].RampCodes - 32_767.5;
        Assert.Equal(0.5, late / early, 1e-3);
    }

    [Theory] // rest at the start, at the end, between, below, above: where the ramp stands and how the flyback is divided
    [InlineData(0.1, 100, 0)]
    [InlineData(0.9, 0, 100)]
    [InlineData(0.3, 75, 25)]
    [InlineData(0.05, 100, 0)]
    [InlineData(0.95, 0, 100)]
    public void RestLevel_Anywhere_DividesTheFlyback(double level, int before, int after)
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Sweep = Plain.Sweep with { RestLevel = level }, Sweeps = 1 });

        ScanPhase[] phases = [.. run.Truth.Select(t => t.Phase)];
        Assert.Equal(1_000, Array.FindIndex(phases, p => p != ScanPhase.Sweep));
        Assert.All(Enumerable.Range(1_000 + before, 100), k => Assert.Equal(ScanPhase.Rest, phases[k]));
        Assert.All(Enumerable.Range(1_000 + before, 100), k => Assert.Equal(level * 65_535, run.Word(k, 0), 0.51));
        Assert.Equal(before + after, phases.Count(p => p == ScanPhase.Retrace));
    }

    [Fact]
    public void NoRetraceNoRest_OneScanIsHighTheNextLow()
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Sweep = Plain.Sweep with { RetraceScans = 0, RestScans = 0 } });

        Assert.Equal((0.999 * 0.8 * 65_535) + 6_553.5, run.Word(999, 0), 0.51);
        Assert.Equal(6_553.5, run.Word(1_000, 0), 0.51);
        Assert.Equal(2_000, run.ScanCount);
    }

    [Fact]
    public void Clipped_AtBothEnds_SaysForHowLongTheRampCannotBeSeen()
    {
        // -0.25 .. 1.25 of the converter: a sixth of the sweep is below the low rail, a sixth above the high one.
        BenchRun run = BenchRun.ToEnd(Plain with { Ramp = Plain.Ramp with { Low = -0.25, High = 1.25 } });

        Assert.All(run.Bench.Truth.Sweeps, s => Assert.Equal((167L, 166L), (s.StartRailScans, s.EndRailScans)));
        Assert.All(Enumerable.Range(834, 166), k => Assert.Equal(65_535, run.Word(k, 0)));
    }

    [Fact]
    public void ExponentialRetrace_HasFallenByTwoThirdsAfterAFifth()
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Sweep = Plain.Sweep with { RetraceShape = RetraceShape.Exponential } });

        Assert.Equal((Math.Exp(-1) - Math.Exp(-5)) / (1 - Math.Exp(-5)), run.Truth[1_020].Fraction, 1e-9);
    }

    [Fact]
    public void SweepFactors_AreUsedInTurn()
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Sweep = Plain.Sweep with { SweepFactors = [1, 100] }, Sweeps = 4 });

        Assert.Equal([1_000L, 100_000L, 1_000L, 100_000L], run.Bench.Truth.Sweeps.Select(s => s.EndScan - s.StartScan));
    }

    [Fact]
    public void Jitter_OfSweepAndRest_StaysWithinItsPart()
    {
        BenchRun run = BenchRun.ToEnd(Plain with { Sweep = Plain.Sweep with { SweepJitter = 0.2, RestJitter = 0.5 }, Sweeps = 60 });

        long[] lengths = [.. run.Bench.Truth.Sweeps.Select(s => s.EndScan - s.StartScan)];
        long[] distances = [.. run.Bench.Truth.Sweeps.Zip(run.Bench.Truth.Sweeps.Skip(1), (a, b) => b.StartScan - a.EndScan)];
        Assert.All(lengths, l => Assert.InRange(l, 799, 1_201));
        Assert.All(distances, d => Assert.InRange(d, 149, 251));
        Assert.True(lengths.Max() - lengths.Min() > 300);
        Assert.True(distances.Max() - distances.Min() > 70);
    }

    [Fact]
    public void Manual_VisitsPlacesAndStandsStill()
    {
        SyntheticOptions options = Plain with { Ramp = Plain.Ramp with { Kind = RampKind.Manual }, Sweep = new() { SweepScans = 2_000, RestScans = 500 }, Sweeps = null, Scans = 50_000 };
        BenchRun run = BenchRun.ToEnd(options);

        Assert.All(run.Truth, t => Assert.Equal(ScanPhase.Manual, t.Phase));
        Assert.Equal(50_000, run.Bench.Truth.InColumns);
        Assert.Empty(run.Bench.Truth.Sweeps);
        int still = Enumerable.Range(1, 49_999).Count(k => run.Truth[k].Fraction == run.Truth[k - 1].Fraction);
        Assert.InRange(still, 10_000, 40_000);
        Assert.True(run.Truth.Max(t => t.Fraction) - run.Truth.Min(t => t.Fraction) > 0.7);
    }

    [Fact]
    public void Mains_ClippedToATrapezium_StandsAtItsClipAndRepeats()
    {
        SyntheticOptions options = Plain with { Ramp = new() { Kind = RampKind.Mains, MainsHz = 60, MainsAmplitude = 0.8, MainsClip = 0.4 }, ScanRateHz = 6_000, Sweeps = null, Scans = 6_000 };
        BenchRun run = BenchRun.ToEnd(options);

        int clipped = run.Channel(0).Count(w => w is 6_554 or 58_982); // (0.5 -+ 0.4) of 65,535
        Assert.Equal(2.0 / 3, clipped / 6_000.0, 0.02); // |sin| > 1/2 for two thirds of the time
        Assert.All(Enumerable.Range(100, 5_900), k => Assert.Equal(run.Word(k - 100, 0), run.Word(k, 0), 1.0));
        Assert.Equal(6_000, run.Bench.Truth.Unassigned);
    }

    [Fact]
    public void Floating_RepeatsItsPartOfTheVertical()
    {
        SyntheticOptions options = Plain with { Ramp = new() { Kind = RampKind.Floating, FloatingShare = 0.25, RestingLevel = 0.4 }, Verticals = [new() { Filter = new() }] };
        BenchRun run = BenchRun.ToEnd(options);

        for (int k = 0; k < run.ScanCount; k++)
            Assert.Equal((0.4 * 65_535) + (0.25 * (run.Word(k, 1) - (0.4 * 65_535))), run.Word(k, 0), 0.7);
        Assert.True(run.Channel(0).Max() - run.Channel(0).Min() > 5_000);
    }

    [Fact]
    public void Walk_GoesFarInSmallStepsAndStaysOnTheConverter()
    {
        SyntheticOptions options = Plain with { Ramp = new() { Kind = RampKind.Walk, WalkCodes = 100 }, Sweeps = null, Scans = 100_000 };
        BenchRun run = BenchRun.ToEnd(options);

        double steps = Enumerable.Range(1, 99_999).Average(k => Math.Pow(run.Truth[k].RampCodes - run.Truth[k - 1].RampCodes, 2));
        Assert.Equal(100, Math.Sqrt(steps), 3.0);
        Assert.True(run.Channel(0).Max() - run.Channel(0).Min() > 10_000);
    }

    [Theory]
    [InlineData(RampKind.Constant)]
    [InlineData(RampKind.Noise)]
    public void NoRamp_StaysAtItsLevel(RampKind kind)
    {
        SyntheticOptions options = Plain with { Ramp = new() { Kind = kind, RestingLevel = 0.3, NoiseCodes = 500 }, Sweeps = null, Scans = 20_000 };
        BenchRun run = BenchRun.ToEnd(options);

        Assert.Equal(0.3 * 65_535, run.Channel(0).Average(w => w), 5 * 500 / Math.Sqrt(20_000));
        Assert.All(run.Truth, t => Assert.True(double.IsNaN(t.Fraction)));
    }
}
