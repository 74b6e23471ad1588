using Acquire.Scales;
using Acquire.Sources.Synthetic;

namespace Acquire.Harness.Demo;

/// <summary>The demo's bench: a harbour museum keeps a long-wave receiver, and the trap that keeps the harbour's own beacon out of it.</summary>
/// <remarks>A tracking source and a swept instrument, 110 to 220 kHz in 0.4 s, first with a wire in place of the trap, then with the trap,
/// then with the trap while somebody turns its core.</remarks>
internal static class HarbourBench
{
    private const double StartHz = 110_000;
    private const double EndHz = 220_000;
    private const double SourceDb = -6;

    /// <summary>The beacon, and therefore the trap's centre, in hertz.</summary>
    public const double BeaconHz = 162_000;

    /// <summary>A station that the trap must let through, in hertz.</summary>
    public const double StationHz = 198_000;

    /// <summary>The trap by design: a second-order Butterworth band-stop, 12 kHz wide at -3.01 dB.</summary>
    public static FilterModel Trap { get; } = new()
    {
        Family = FilterFamily.Butterworth,
        Band = FilterBand.BandStop,
        Order = 2,
        FrequencyHz = BeaconHz,
        BandwidthHz = 12_000,
    };

    /// <summary>The bench with a wire.</summary>
    public static SyntheticOptions Wire { get; } = new()
    {
        Seed = 162,
        ScanRateHz = 100_000,
        Sweeps = 5,
        StartHz = StartHz,
        EndHz = EndHz,
        Ramp = new RampModel { NoiseCodes = 2, Overscan = 0.01, Hum = new Hum(3, 50), Volts = new CodeVolts(-5.5m, 5.5m) },
        Sweep = new SweepTiming { SweepScans = 40_000, RetraceScans = 3_000, RestScans = 4_000, Begin = BeginPhase.Rest },
        Converter = new ConverterModel { SkewScans = 0.5 },
        Verticals =
        [
            new VerticalModel { LevelFunction = (fraction, _, _) => SourceAt(FrequencyAt(fraction)), NoiseFloorDb = -88, VideoHz = 1_000, NoiseCodes = 1, Volts = new CodeVolts(0.1m, -1.1m) },
        ],
    };

    /// <summary>The bench with the trap.</summary>
    public static SyntheticOptions Trapped { get; } = Wire with { Seed = 163, Verticals = [Wire.Verticals[0] with { LevelFunction = (fraction, _, _) => LevelAt(fraction, Trap) }] };

    /// <summary>The bench with the trap, whose core is turned by 1 kHz from sweep to sweep; quick sweeps.</summary>
    public static SyntheticOptions Tuning { get; } = Wire with
    {
        Seed = 164,
        Sweeps = 24,
        Sweep = Wire.Sweep with { SweepScans = 10_000, RetraceScans = 1_000, RestScans = 1_000 },
        Verticals =
        [
            Wire.Verticals[0] with { LevelFunction = (fraction, sweep, _) => LevelAt(fraction, Trap with { FrequencyHz = BeaconHz - 12_000 + (1_000 * sweep) }) },
        ],
    };

    private static double LevelAt(double fraction, FilterModel trap) => SourceAt(FrequencyAt(fraction)) - trap.LossDb(FrequencyAt(fraction));

    private static double FrequencyAt(double fraction) => StartHz + ((EndHz - StartHz) * fraction);

    // The tracking source is uneven, and always in the same way: that is what normalising against the wire takes out.
    private static double SourceAt(double frequencyHz) =>
        SourceDb + (0.9 * Math.Sin(2 * Math.PI * frequencyHz / 61_000)) + (0.6 * Math.Sin(2 * Math.PI * frequencyHz / 23_000));
}
