using System.Text;
using System.Text.Json;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sources.Synthetic;
using Acquire.Sweeps;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>The truth as JSON, and the setup that fits a bench.</summary>
public sealed class SyntheticTruthTests
{
    // Positions go on over gaps, and not over what passed unseen in a break.
    [Fact]
    public void Losses_AtTheirPlaces_HaveThePositionOfTheFirstMissingScan()
    {
        BenchRun run = BenchRun.ToEnd(new SyntheticOptions { Loss = new() { Gaps = [new(40, 25), new(300, 5)], Breaks = [new(200, 7)] }, Sweeps = 1 });

        Assert.Equal([new TrueGap(40, 40, 25), new TrueGap(300, 325, 5)], run.Bench.Truth.Gaps);
        Assert.Equal([new TrueGap(200, 225, 7)], run.Bench.Truth.Breaks);
    }

    [Fact]
    public void WriteJson_AfterTheEnd_HasTheMembersOfInspect()
    {
        SyntheticOptions options = new()
        {
            Sweep = new() { SweepScans = 100, RetraceScans = 10, RestScans = 10 },
            Loss = new() { Gaps = [new(40, 25)], Breaks = [new(200, 7)] },
            Sweeps = 3,
        };
        BenchRun run = BenchRun.ToEnd(options);

        JsonElement truth = JsonOf(run.Bench.Truth);

        Assert.Equal(run.ScanCount, truth.GetProperty("recording").GetProperty("scans").GetInt64());
        Assert.Equal("rising", truth.GetProperty("ramp").GetProperty("direction").GetString());
        JsonElement first = truth.GetProperty("sweeps")[0];
        Assert.Equal(0, first.GetProperty("number").GetInt64());
        Assert.Equal(0, first.GetProperty("startScan").GetInt64());
        Assert.Equal(40, first.GetProperty("endScan").GetInt64());
        Assert.Equal(0.0004, first.GetProperty("durationSeconds").GetDouble(), 1e-12);
        Assert.False(first.GetProperty("complete").GetBoolean());
        Assert.Equal("begin", first.GetProperty("startReason").GetString());
        Assert.Equal("gap", first.GetProperty("endReason").GetString());
        Assert.Equal(25, truth.GetProperty("gaps")[0].GetProperty("lostScans").GetInt64());
        Assert.Equal("link", truth.GetProperty("gaps")[0].GetProperty("cause").GetString());
        Assert.Equal(200, truth.GetProperty("breaks")[0].GetProperty("atScan").GetInt64());
        JsonElement accounting = truth.GetProperty("accounting");
        Assert.Equal(
            accounting.GetProperty("scans").GetInt64(),
            new[] { "inColumns", "overscan", "retrace", "rest", "blanked", "unassigned" }.Sum(n => accounting.GetProperty(n).GetInt64()));
        Assert.Equal((25, 1), (accounting.GetProperty("lost").GetInt64(), accounting.GetProperty("breaks").GetInt64()));
    }

    [Fact]
    public void WriteJson_OfEveryKind_IsJson()
    {
        foreach (BenchKind kind in Enum.GetValues<BenchKind>())
        {
            SyntheticBench bench = new(BenchKinds.Draw(kind, 1) with { Scans = 3_000 });
            ushort[] words = new ushort[600];
            while (bench.Read(words).Kind != SyntheticReadKind.End) Assert.True(bench.Truth.Scans <= 3_000);

            Assert.Equal(bench.Truth.SweepCount, JsonOf(bench.Truth).GetProperty("sweeps").GetArrayLength());
        }
    }

    [Fact]
    public void SetupFor_Bench_StatesWhatCanBeReadOffTheInstrument()
    {
        SyntheticOptions options = new()
        {
            Ramp = new() { Kind = RampKind.Falling, Low = 0.05, High = 0.95, Volts = new(0, 10) },
            Converter = new() { SkewScans = 0.5 },
            Verticals = [new() { TopShare = 0.1, BottomShare = 0.9, Volts = new(0.1m, -1.1m), VideoHz = 400, VideoPoles = 2, DelayScans = 10 }],
        };

        Setup setup = new SyntheticBench(options).SetupFor();

        setup.Scan.Validate();
        Assert.Equal(RampDirection.Falling, setup.Sweep.Direction);
        Assert.Equal(new SweepEdges(0.5m, 9.5m), setup.Sweep.Edges);
        VerticalScale scale = setup.VerticalScaleOf(0);
        Assert.Equal((SignalUp.CodesFall, VerticalLaw.Logarithmic), (scale.Up, scale.Law));
        Assert.Equal([new LevelPoint(-0.98m, -100), new LevelPoint(-0.02m, 0)], scale.Level);
        Assert.Equal((5_000.0, 55_000.0), (setup.Axis!.Start, setup.Axis.End));
        Assert.Equal(0.5, setup.Columns.SkewScans);
        Assert.Equal((2 / (2 * Math.PI * 400)) + 0.0001, setup.Columns.VideoDelaySeconds, 1e-12); // two poles and ten scans
    }

    [Fact]
    public void SetupFor_Bench_TurnsCodesIntoTheTrueLevel()
    {
        SyntheticOptions options = new() { Bits = 16, Verticals = [new() { Filter = new(), TopShare = 0.1, BottomShare = 0.9, Volts = new(0.1m, -1.1m) }], Sweeps = 1 };
        BenchRun run = BenchRun.ToEnd(options);
        VerticalScale scale = run.Bench.SetupFor().VerticalScaleOf(0);

        (LevelPoint bottom, LevelPoint top) = (scale.Level[0], scale.Level[1]);
        for (int k = 0; k < 10_000; k += 7)
        {
            double volts = scale.Volts!.VoltsOf(run.Word(k, 1), 65_535);
            double level = (double)bottom.LevelDb + ((volts - (double)bottom.Volts) / (double)(top.Volts - bottom.Volts) * (double)(top.LevelDb - bottom.LevelDb));
            Assert.Equal(Math.Max(run.Truth[k].Level, -100), level, 0.001); // a code is 0.0019 dB
        }
    }

    [Fact]
    public void SetupFor_ManualBench_IsInManualMode() =>
        Assert.Equal(SweepMode.Manual, new SyntheticBench(new() { Ramp = new() { Kind = RampKind.Manual } }).SetupFor().Sweep.Mode);

    [Theory]
    [MemberData(nameof(WrongOptions))]
    public void Validate_ValueOutOfRange_NamesItWithValueAndFix(string name, SyntheticOptions options)
    {
        ArgumentException error = Assert.Throws<ArgumentException>(() => new SyntheticBench(options));

        Assert.Contains(name, error.Message, StringComparison.Ordinal);
    }

    public static TheoryData<string, SyntheticOptions> WrongOptions => new()
    {
        { "ScanRateHz is 0", new() { ScanRateHz = 0 } },
        { "Scans is -1", new() { Scans = -1 } },
        { "Ramp.Low is 0.9", new() { Ramp = new() { Low = 0.9, High = 0.5 } } },
        { "Ramp.Bow is 0.3", new() { Ramp = new() { Bow = 0.3 } } },
        { "Ramp.Steps is 1", new() { Ramp = new() { Steps = 1 } } },
        { "Ramp.NoiseCodes is -1", new() { Ramp = new() { NoiseCodes = -1 } } },
        { "Ramp.Hum.FrequencyHz is 0", new() { Ramp = new() { Hum = new(1, 0) } } },
        { "Ramp.Hum.Overtones[1].Share is -1", new() { Ramp = new() { Hum = new(1) { Overtones = [new(0.5), new(-1)] } } } },
        { "Ramp.Spikes.EveryScans is 0", new() { Ramp = new() { Spikes = new(0) } } },
        { "Ramp.Pause.Scans is 0", new() { Ramp = new() { Pause = new(0.5, 0) } } },
        { "Ramp.Kink.AtShare is 1", new() { Ramp = new() { Kink = new(1, 0.5) } } },
        { "Sweep.SweepScans is 1", new() { Sweep = new() { SweepScans = 1 } } },
        { "Sweep.BeginShare is 1", new() { Sweep = new() { BeginShare = 1 } } },
        { "Sweep.AbortChance is NaN", new() { Sweep = new() { AbortChance = double.NaN } } },
        { "Verticals is empty", new() { Verticals = [] } },
        { "Verticals[0].VideoPoles is 9", new() { Verticals = [new() { VideoPoles = 9 }] } },
        { "Verticals[1].Filter.Order is 0", new() { Verticals = [new(), new() { Filter = new() { Order = 0 } }] } },
        { "Verticals[0].Needles.Fraction is 2", new() { Verticals = [new() { Needles = [new(2, 0)] }] } },
        { "Blanking.Low is 0.9", new() { Blanking = new() { Low = 0.9, High = 0.9 } } },
        { "Converter.ZeroBits is 12", new() { Converter = new() { ZeroBits = 12 } } },
        { "Converter.SkewScans is 1.5", new() { Converter = new() { SkewScans = 1.5 } } },
        { "Loss.Gaps.LostScans is 0", new() { Loss = new() { Gaps = [new(1, 0)] } } },
    };

    private static JsonElement JsonOf(SyntheticTruth truth)
    {
        using MemoryStream stream = new();
        using (Utf8JsonWriter writer = new(stream)) truth.WriteJson(writer);
        using JsonDocument document = JsonDocument.Parse(Encoding.UTF8.GetString(stream.ToArray()));
        return document.RootElement.Clone();
    }
}
