using Acquire.Capture;
using Acquire.Sources.Synthetic;
using Acquire.Sweeps;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>The stream itself: examples, the truth beside it, cuts, losses, ends.</summary>
public sealed class SyntheticBenchTests
{
    [Fact]
    public void Read_FiveScanSweep_GivesRampRetraceRestAndTruth()
    {
        SyntheticOptions options = new()
        {
            Ramp = new() { Low = 0, High = 1 },
            Sweep = new() { SweepScans = 5, RetraceScans = 2, RestScans = 1 },
            Sweeps = 2,
            Bits = 4,
        };

        BenchRun run = BenchRun.ToEnd(options);

        // sweep 0 3 6 9 12 (fractions 0, 1/5 ... 4/5 of 15), retrace 15 7.5, rest 0
        Assert.Equal([0, 3, 6, 9, 12, 15, 8, 0, 0, 3, 6, 9, 12, 15, 8, 0], run.Channel(0).Select(w => (int)w));
        Assert.Equal(2, run.Bench.Truth.Sweeps.Count);
        TrueSweep second = run.Bench.Truth.Sweeps[1];
        Assert.Equal((8L, 13L, true), (second.StartScan, second.EndScan, second.Complete));
        Assert.Equal((SweepStart.Ramp, SweepEnd.Retrace), (second.StartReason, second.EndReason));
        Assert.Equal(SweepStart.Begin, run.Bench.Truth.Sweeps[0].StartReason);
        Assert.Equal((16, 10, 4, 2), (run.Bench.Truth.Scans, run.Bench.Truth.InColumns, run.Bench.Truth.Retrace, run.Bench.Truth.Rest));
    }

    [Fact]
    public void Read_GapInsideSweep_EndsItAndStartsAnother()
    {
        SyntheticOptions options = new()
        {
            Sweep = new() { SweepScans = 100, RetraceScans = 10, RestScans = 10 },
            Loss = new() { Gaps = [new(40, 25)] },
            Sweeps = 1,
        };

        BenchRun run = BenchRun.ToEnd(options);

        Assert.Equal([(40L, new SyntheticRead(SyntheticReadKind.Gap, 25))], run.Losses);
        Assert.Equal(2, run.Bench.Truth.Sweeps.Count);
        TrueSweep before = run.Bench.Truth.Sweeps[0], after = run.Bench.Truth.Sweeps[1];
        Assert.Equal((SweepEnd.Gap, 0L, 40L, false), (before.EndReason, before.StartScan, before.EndScan, before.Complete));
        Assert.Equal((SweepStart.Gap, 40L, 75L, false), (after.StartReason, after.StartScan, after.EndScan, after.Complete));
        Assert.Equal((65L, 100L), (after.StartPosition, after.EndPosition));
        Assert.Equal(0.65, after.StartFraction, 1e-12);
    }

    [Fact]
    public void Read_BreakInsideSweep_HidesScansThatPositionsDoNotCount()
    {
        SyntheticOptions options = new()
        {
            Sweep = new() { SweepScans = 100 },
            Loss = new() { Breaks = [new(40, 25)] },
            Scans = 60,
        };

        BenchRun run = BenchRun.ToEnd(options);

        Assert.Equal([(40L, new SyntheticRead(SyntheticReadKind.Break, 0))], run.Losses);
        Assert.Equal((SweepEnd.Break, SweepEnd.End), (run.Bench.Truth.Sweeps[0].EndReason, run.Bench.Truth.Sweeps[1].EndReason));
        Assert.Equal((SweepStart.Break, 40L), (run.Bench.Truth.Sweeps[1].StartReason, run.Bench.Truth.Sweeps[1].StartPosition));
        Assert.Equal(0.65, run.Truth[40].Fraction, 1e-12);
        Assert.Equal(0, run.Bench.Truth.Lost);
    }

    [Fact]
    public void Read_Abort_FliesBackEarly()
    {
        SyntheticOptions options = new()
        {
            Sweep = new() { SweepScans = 1_000, RetraceScans = 100, RestScans = 50, Aborts = [new(1, 0.4)] },
            Sweeps = 3,
        };

        BenchRun run = BenchRun.ToEnd(options);

        Assert.Equal([SweepEnd.Retrace, SweepEnd.Abort, SweepEnd.Retrace], run.Bench.Truth.Sweeps.Select(s => s.EndReason));
        TrueSweep aborted = run.Bench.Truth.Sweeps[1];
        Assert.Equal((1_150L, 1_550L, false), (aborted.StartScan, aborted.EndScan, aborted.Complete));
        Assert.Equal(0.399, aborted.EndFraction, 1e-12);
        Assert.Equal(1_550 + 40 + 50, run.Bench.Truth.Sweeps[2].StartScan); // 0.4 of the way back takes 0.4 of the time
    }

    [Fact]
    public void Read_AbortBothWays_IsDrawnAgainTheSameWay()
    {
        SyntheticOptions options = new()
        {
            Ramp = new() { Kind = RampKind.BothWays },
            Sweep = new() { SweepScans = 100, RetraceScans = 10, RestScans = 5, Aborts = [new(1, 0.5)] },
            Sweeps = 4,
        };

        BenchRun run = BenchRun.ToEnd(options);

        Assert.Equal(
            [RampDirection.Rising, RampDirection.Falling, RampDirection.Falling, RampDirection.Rising],
            run.Bench.Truth.Sweeps.Select(s => s.Direction));
        Assert.Equal(1, run.Bench.Truth.Sweeps[2].StartFraction, 1e-12);
    }

    [Theory]
    [InlineData(BeginPhase.Sweep, 0.5, SweepStart.Begin, 0, 500)]
    [InlineData(BeginPhase.Retrace, 0.5, SweepStart.Ramp, 150, 1_150)]
    [InlineData(BeginPhase.Rest, 0.5, SweepStart.Ramp, 50, 1_050)]
    public void Read_BeginInsideCycle_StartsThere(BeginPhase begin, double share, SweepStart reason, long startScan, long endScan)
    {
        SyntheticOptions options = new()
        {
            Sweep = new() { SweepScans = 1_000, RetraceScans = 100, RestScans = 100, Begin = begin, BeginShare = share },
            Scans = 2_800,
        };

        BenchRun run = BenchRun.ToEnd(options);

        TrueSweep first = run.Bench.Truth.Sweeps[0];
        Assert.Equal((reason, startScan, endScan), (first.StartReason, first.StartScan, first.EndScan));
        Assert.Equal(SweepEnd.End, run.Bench.Truth.Sweeps[^1].EndReason);
    }

    [Fact]
    public void Read_BillionScanSweep_IsPassedOverInNoTime()
    {
        SyntheticOptions options = new()
        {
            Sweep = new() { SweepScans = 1e9, RetraceScans = 1_000, RestScans = 1_000 },
            Ramp = new() { NoiseCodes = 1, CouplingHz = 0.001 },
            Verticals = [new() { VideoHz = 100 }],
            Sweeps = 1,
            Bits = 16,
        };
        SyntheticBench bench = new(options);
        ushort[] words = new ushort[2_000];

        bench.Read(words);
        bench.Lose(999_998_500);
        SyntheticRead last = bench.Read(words);

        Assert.Equal(new SyntheticRead(SyntheticReadKind.Scans, 1_000), last);
        Assert.Equal(999_998_500, bench.Truth.Lost);
        bench.Read(words);
        Assert.Equal((999_999_500L, 1_000_000_000L, SweepEnd.Retrace),
            (bench.Truth.Sweeps[1].StartPosition, bench.Truth.Sweeps[1].EndPosition, bench.Truth.Sweeps[1].EndReason));
    }

    [Theory]
    [InlineData(nameof(RampModel.NoiseCodes))]
    [InlineData(nameof(RampModel.Spikes))]
    [InlineData(nameof(RampModel.Hum))]
    public void Read_OneMoreEffectOnTheRamp_LeavesTheVerticalAlone(string effect)
    {
        SyntheticOptions plain = new() { Verticals = [new() { NoiseFloorDb = -60, NoiseCodes = 2 }], Sweeps = 1 };
        RampModel disturbed = effect switch
        {
            nameof(RampModel.NoiseCodes) => plain.Ramp with { NoiseCodes = 5 },
            nameof(RampModel.Spikes) => plain.Ramp with { Spikes = new(50) },
            _ => plain.Ramp with { Hum = new(20) },
        };

        BenchRun without = BenchRun.ToEnd(plain), with = BenchRun.ToEnd(plain with { Ramp = disturbed });

        Assert.NotEqual(without.Channel(0), with.Channel(0));
        Assert.Equal(without.Channel(1), with.Channel(1));
    }

    [Theory] // The words of a seed are part of the contract: a scenario's expectations hold on every machine and in every version.
    [InlineData("bandstop", 0x8FA64B7AD18330B6UL)]
    [InlineData("needles", 0xFE12E05CF2AEF6FBUL)]
    [InlineData("noise-floor", 0xBBC97EDFDEA7BF80UL)]
    [InlineData("tones", 0x5079206FEAEE5E25UL)]
    [InlineData("hum", 0xEE98608781BA6BC8UL)]
    [InlineData("aborts", 0xF6A19FB4D1BEA2FAUL)]
    [InlineData("gaps", 0x49576A271ADFE99CUL)]
    [InlineData("floating", 0xDC1DDD49556D9893UL)]
    [InlineData("droop", 0xA030A2A6B315FFC4UL)]
    public void Read_NamedBench_GivesTheSameWordsForEver(string name, ulong hash)
    {
        BenchRun run = BenchRun.ToEnd(SyntheticSpec.ParseSource(name + "?scans=20000&seed=11"));

        ulong fnv = 0xCBF29CE484222325; // FNV-1a over the low and high bytes of the words
        foreach (ushort word in run.Words)
        {
            fnv = unchecked((fnv ^ (byte)word) * 0x100000001B3);
            fnv = unchecked((fnv ^ (ulong)(word >> 8)) * 0x100000001B3);
        }

        Assert.Equal(hash, fnv);
    }

    [Fact]
    public void Read_SteadyState_AllocatesNothing()
    {
        SyntheticOptions options = new()
        {
            Ramp = new() { NoiseCodes = 2, Hum = new(3), Spikes = new(100) },
            Verticals = [new() { Tones = [new(20_000, -20)], Filter = new(), NoiseFloorDb = -80, VideoHz = 1_000, Needles = [new(0.5, 0)] }],
            Loss = new() { GapEveryScans = 5_000 },
            KeepTruth = false,
        };
        SyntheticBench bench = new(options);
        ushort[] words = new ushort[512];
        for (int i = 0; i < 100; i++) bench.Read(words);

        long before = GC.GetAllocatedBytesForCurrentThread();
        for (int i = 0; i < 1_000; i++) bench.Read(words);

        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
    }

    [Fact]
    public void Read_SpanThatIsNotWholeScans_Throws()
    {
        SyntheticBench bench = new(new());

        ArgumentException error = Assert.Throws<ArgumentException>(() => bench.Read(new ushort[3]));

        Assert.Contains("3 words", error.Message, StringComparison.Ordinal);
        Assert.Equal(0, bench.Position);
    }

    [Fact]
    public void Read_ChannelsInAnyOrder_CarryTheirRoles()
    {
        SyntheticOptions options = new()
        {
            Roles = [ChannelRole.Auxiliary, ChannelRole.Blanking, ChannelRole.Vertical, ChannelRole.Ramp, ChannelRole.Vertical],
            Verticals = [new() { Kind = VerticalKind.Resting }, new() { Kind = VerticalKind.SweepNumber }],
            Sweep = new() { SweepScans = 100, RetraceScans = 10, RestScans = 10 },
            Sweeps = 3,
        };

        BenchRun run = BenchRun.ToEnd(options);

        for (int k = 0; k < run.ScanCount; k++)
        {
            Assert.Equal(k, run.Word(k, 0));
            Assert.Equal(run.Truth[k].BeamOff, run.Word(k, 1) > 2_000);
            Assert.Equal(2_048, run.Word(k, 2));
            Assert.Equal(run.Truth[k].InstrumentSweep, run.Word(k, 4));
        }
    }
}
