using Acquire.Capture;

namespace Acquire.Sources.Synthetic;

/// <summary>Benches that a description can start from by name.</summary>
internal static class SyntheticPresets
{
    private static readonly (string Name, SyntheticOptions Options)[] All =
    [
        ("through", Bench(new VerticalModel())),
        ("bandstop", Bench(new VerticalModel { Filter = new FilterModel() })),
        ("bandpass", Bench(new VerticalModel { Filter = new FilterModel { Band = FilterBand.BandPass, FrequencyHz = 30_000, BandwidthHz = 4_000, Family = FilterFamily.Chebyshev } })),
        ("lowpass", Bench(new VerticalModel { Filter = new FilterModel { Band = FilterBand.LowPass, FrequencyHz = 20_000, Order = 5 } })),
        ("tones", Bench(new VerticalModel
        {
            SourceDb = null,
            ResolutionHz = 300,
            Tones = [new(10_000, -20), new(20_000, -45), new(30_000, -52), new(40_000, -70)],
        })),
        ("needles", Bench(new VerticalModel
        {
            SourceDb = -80,
            Needles = [new(0.1, -20), new(0.25, -20), new(0.5, -20), new(0.75, -20), new(0.9, -20)],
        })),
        ("noise-floor", Bench(new VerticalModel { SourceDb = null, NoiseFloorDb = -60 })),
        ("slow-sweep", Slow(Bench(new VerticalModel { Filter = new FilterModel() }))),
        ("blanked-pause", Pausing(Bench(new VerticalModel { Filter = new FilterModel() }))),
        ("both-ways", BothWays(Bench(new VerticalModel { Filter = new FilterModel() }))),
        ("hand-turned", HandTurned(Bench(new VerticalModel { Filter = new FilterModel() }))),
    ];

    public static IReadOnlyList<string> Names { get; } = [.. All.Select(p => p.Name)];

    public static SyntheticOptions Find(SpecValue value)
    {
        string name = value.Text();
        foreach ((string known, SyntheticOptions options) in All)
            if (string.Equals(known, name, StringComparison.Ordinal)) return options;
        throw value.Wrong("one of " + string.Join(", ", Names));
    }

    // A tenth-second sweep at 100 kHz: 10 scans in each of 1,000 columns.
    private static SyntheticOptions Bench(VerticalModel vertical) => new()
    {
        Sweeps = 10,
        Ramp = new RampModel { NoiseCodes = 1.5 },
        Sweep = new SweepTiming { SweepScans = 10_000, RetraceScans = 800, RestScans = 1_200, Begin = BeginPhase.Rest },
        Converter = new ConverterModel { SkewScans = 0.5 },
        Verticals = [vertical with { SourceBumpsDb = 1.5, NoiseFloorDb = vertical.NoiseFloorDb ?? -90, VideoHz = 2_000, VideoPoles = 1 }],
    };

    private static SyntheticOptions Slow(SyntheticOptions bench) => bench with
    {
        ScanRateHz = 20_000,
        Sweeps = 2,
        Sweep = bench.Sweep with { SweepScans = 600_000, RetraceScans = 10_000, RestScans = 20_000 },
    };

    private static SyntheticOptions Pausing(SyntheticOptions bench) => bench with
    {
        Roles = [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Blanking],
        Ramp = bench.Ramp with { Pause = new PauseModel(0.4, 3_000, Blanked: true) },
    };

    private static SyntheticOptions BothWays(SyntheticOptions bench) => bench with
    {
        Ramp = bench.Ramp with { Kind = RampKind.BothWays },
    };

    private static SyntheticOptions HandTurned(SyntheticOptions bench) => bench with
    {
        Ramp = bench.Ramp with { Kind = RampKind.Manual },
        Sweep = bench.Sweep with { SweepScans = 300_000, RestScans = 50_000 },
    };
}
