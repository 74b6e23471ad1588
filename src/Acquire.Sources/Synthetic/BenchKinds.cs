using Acquire.Capture;

namespace Acquire.Sources.Synthetic;

/// <summary>Draws benches of a kind over the documented ranges, one per seed, for tests that must hold on every seed.</summary>
/// <remarks>
/// Unless the kind says otherwise a bench has 12 bits, a ramp of a half to nine tenths of the converter in either direction, 200 to 3,000
/// scans per sweep, a retrace of 2 to 20 % of it, a rest of up to half of it, up to a code of noise, and lasts for eight sweeps. The draw of
/// a kind and seed never changes with the other kinds.
/// </remarks>
public static partial class BenchKinds
{
    private const int UsualSweeps = 8;

    /// <summary>All kinds in which sweeps are to be found.</summary>
    public static IReadOnlyList<BenchKind> WithRamp { get; } = [.. Enum.GetValues<BenchKind>().Where(HasRamp)];

    /// <summary>All kinds in which no sweep is to be found.</summary>
    public static IReadOnlyList<BenchKind> WithoutRamp { get; } = [.. Enum.GetValues<BenchKind>().Where(k => !HasRamp(k))];

    /// <summary>Whether a kind has sweeps to be found.</summary>
    /// <param name="kind">Kind.</param>
    public static bool HasRamp(BenchKind kind) => kind is < BenchKind.Constant or >= BenchKind.FaintHum;

    /// <summary>Draws one bench.</summary>
    /// <param name="kind">Kind.</param>
    /// <param name="seed">Seed of the draw and of the bench.</param>
    /// <returns>Options that end after some sweeps (kinds without a ramp: after 40,000 scans).</returns>
    public static SyntheticOptions Draw(BenchKind kind, ulong seed)
    {
        Draws draws = new(seed, (int)kind);
        SyntheticOptions usual = Usual(draws, seed);
        double sweep = usual.Sweep.SweepScans;
        return kind switch
        {
            BenchKind.Rising => usual with { Ramp = usual.Ramp with { Kind = RampKind.Rising } },
            BenchKind.Falling => usual with { Ramp = usual.Ramp with { Kind = RampKind.Falling } },
            BenchKind.BothWays => usual with
            {
                Ramp = usual.Ramp with { Kind = RampKind.BothWays },
                Sweep = usual.Sweep with { ReturnFactor = draws.Chance(0.5) ? 1 : draws.Log(0.3, 3), RestScans = draws.Chance(0.5) ? 0 : usual.Sweep.RestScans },
            },
            BenchKind.Fast => Timed(usual, draws.Log(5, 50), draws.Between(0, 2), draws.Between(0, 5)) with { Sweeps = 60 },
            BenchKind.Slow => Timed(usual, draws.Log(1e5, 1e6), draws.Log(10, 1e5), draws.Between(0, 1e5)) with { Sweeps = 3 },
            BenchKind.Noise => usual with { Ramp = usual.Ramp with { NoiseCodes = draws.Log(0.0005, 0.01) * Size(usual) } },
            BenchKind.Hum => Hummed(usual, draws),
            BenchKind.Spikes => usual with
            {
                Ramp = usual.Ramp with
                {
                    Spikes = new(draws.Log(50, 2_000), draws.Chance(0.5) ? null : draws.Between(0.02, 1) * Size(usual), draws.OneOf(SpikeDirection.Either, SpikeDirection.Up, SpikeDirection.Down)) { ApartScans = 3 },
                },
                Sweep = usual.Sweep with { SweepScans = draws.Log(50, 3_000) },
            },
            BenchKind.Clipped => usual with
            {
                Ramp = draws.Whole(0, 2) switch
                {
                    0 => usual.Ramp with { Low = -draws.Between(0.02, 0.3) },
                    1 => usual.Ramp with { High = 1 + draws.Between(0.02, 0.3) },
                    _ => usual.Ramp with { Low = -draws.Between(0.02, 0.3), High = 1 + draws.Between(0.02, 0.3) },
                },
            },
            BenchKind.NoRetrace => Timed(usual, sweep, 0, draws.Chance(0.5) ? 0 : usual.Sweep.RestScans),
            BenchKind.TwoScanRetrace => Timed(usual, sweep, 2, draws.Chance(0.5) ? 0 : usual.Sweep.RestScans),
            BenchKind.HalfSweepRetrace => Timed(usual, sweep, sweep / 2, usual.Sweep.RestScans),
            BenchKind.NoRest => Timed(usual, sweep, usual.Sweep.RetraceScans, 0),
            BenchKind.LongRest => Timed(usual, draws.Log(100, 600), draws.Between(2, 50), draws.Log(2, 50) * 350) with { Sweeps = 4 },
            BenchKind.RestAnywhere => RestingAnywhere(usual, draws),
            BenchKind.Aborts => usual with { Sweep = usual.Sweep with { AbortChance = draws.Between(0.1, 0.5) }, Sweeps = 16 },
            BenchKind.SweepTimeChange => Changing(usual, draws),
            BenchKind.BeginsInside => BeginningInside(usual, draws),
            BenchKind.Gaps => usual with { Loss = new() { GapEveryScans = draws.Log(0.3, 3) * sweep, GapMaxScans = 1 + (long)(draws.Log(0.01, 3) * sweep) } },
            BenchKind.Breaks => usual with { Loss = new() { BreakEveryScans = draws.Log(0.3, 3) * sweep, BreakMaxScans = 1 + (long)(draws.Log(0.01, 3) * sweep) } },
            BenchKind.Fifth => InFifth(usual, draws),
            BenchKind.Drift => Drifting(usual, draws),
            BenchKind.BlankedPause => Blanked(Paused(usual, draws, blanked: true), draws),
            BenchKind.Pause => Paused(usual, draws, blanked: false),
            BenchKind.BlankingChannel => Blanked(usual, draws),
            BenchKind.Bow => usual with { Ramp = usual.Ramp with { Bow = draws.Between(-0.2, 0.2) } },
            BenchKind.Kink => usual with { Ramp = usual.Ramp with { Kink = new(draws.Between(0.2, 0.8), draws.Between(0.2, 0.8)) } },
            BenchKind.Staircase => usual with { Ramp = usual.Ramp with { Steps = draws.Whole(20, 400) } },
            BenchKind.Droop => usual with
            {
                Ramp = usual.Ramp with { Low = 0.15, High = 0.75, CouplingHz = draws.Log(0.005, 0.1) * usual.ScanRateHz / (2 * Math.PI * sweep) },
            },
            BenchKind.FaintHum => FaintlyHummed(usual, draws),
            BenchKind.Turn => Turning(usual, draws),
            BenchKind.Coupled => Coupled(usual, draws),
            BenchKind.HarmonicHum => HarmonicallyHummed(usual, draws),
            _ => WithoutRampOf(kind, usual, draws),
        };
    }

    /// <summary>Largest amplitude of hum with which the start of a sweep can be found within the most of 2 scans and 0.1 % of the sweep.</summary>
    /// <param name="sweepScans">Scans of a sweep.</param>
    /// <param name="cycles">Cycles of the hum in a sweep, with at least four scans each.</param>
    /// <returns>Share of the ramp's way.</returns>
    /// <remarks>
    /// The start is where a line through the first 2 % of the way meets the level before it. Hum of amplitude A and period P moves the end of
    /// a line through w scans by 3 A P / (pi w) at most, and a level by A P / (pi w): 4 A P / (pi w) in all, with w a fiftieth of the sweep; but slow
    /// hum moves the line's end by 2 A and the level by A at most. What that may be is what the ramp moves in the time allowed.
    /// </remarks>
    private static double MostHum(double sweepScans, double cycles) =>
        Math.Max(2 / sweepScans, 0.001) * Math.Max(1.0 / 3, Math.PI * 0.02 / 4 * cycles);

    private static SyntheticOptions Usual(Draws draws, ulong seed)
    {
        double low = draws.Between(0.02, 0.2), high = low + draws.Between(0.5, 0.78);
        double sweep = draws.Log(200, 3_000);
        return new SyntheticOptions
        {
            Seed = seed,
            Sweeps = UsualSweeps,
            Ramp = new RampModel
            {
                Kind = draws.OneOf(RampKind.Rising, RampKind.Falling),
                Low = low,
                High = high,
                NoiseCodes = draws.Between(0, 1),
            },
            Sweep = new SweepTiming
            {
                SweepScans = sweep,
                RetraceScans = Math.Max(2, sweep * draws.Between(0.02, 0.2)),
                RetraceShape = draws.OneOf(RetraceShape.Linear, RetraceShape.Exponential),
                RestScans = sweep * draws.Between(0.01, 0.5),
                RestJitter = draws.Chance(0.5) ? 0 : draws.Between(0, 0.5),
                Begin = draws.OneOf(BeginPhase.Sweep, BeginPhase.Rest),
            },
            Verticals = [new VerticalModel { Filter = new FilterModel(), NoiseFloorDb = -80 }],
        };
    }

    private static double Size(SyntheticOptions options) => (options.Ramp.High - options.Ramp.Low) * options.Format.FullCode;

    private static SyntheticOptions Timed(SyntheticOptions options, double sweep, double retrace, double rest) =>
        options with { Sweep = options.Sweep with { SweepScans = sweep, RetraceScans = retrace, RestScans = rest } };

    private static SyntheticOptions Hummed(SyntheticOptions options, Draws draws)
    {
        // Sweep times of 20 ms to 1 s at the rate that gives them the usual number of scans.
        double rate = options.Sweep.SweepScans / draws.Log(0.02, 1);
        return options with
        {
            ScanRateHz = rate,
            Ramp = options.Ramp with { Hum = new(draws.Log(0.0005, 0.02) * Size(options), draws.OneOf(50.0, 60.0), draws.Between(0, 1)) },
        };
    }

    private static SyntheticOptions FaintlyHummed(SyntheticOptions options, Draws draws)
    {
        // Sweep times of 20 ms to 5 s, at least four scans a cycle.
        double sweep = draws.Log(200, 20_000), larger = sweep / options.Sweep.SweepScans, frequency = draws.OneOf(50.0, 60.0);
        double seconds = draws.Log(0.02, Math.Min(5, sweep / (4 * frequency)));
        double most = Math.Min(0.02, MostHum(sweep, seconds * frequency));
        return Timed(options, sweep, larger * options.Sweep.RetraceScans, larger * options.Sweep.RestScans) with
        {
            ScanRateHz = sweep / seconds,
            Ramp = options.Ramp with { Hum = new(draws.Log(Math.Min(0.0002, most / 2), most) * Size(options), frequency, draws.Between(0, 1)) },
        };
    }

    private static SyntheticOptions HarmonicallyHummed(SyntheticOptions options, Draws draws)
    {
        SyntheticOptions hummed = FaintlyHummed(options, draws);
        Overtone second = new(draws.Between(0, 0.5), draws.Between(0, 1)), third = new(draws.Between(0, 1 / 3.0), draws.Between(0, 1));
        return hummed with { Ramp = hummed.Ramp with { Hum = hummed.Ramp.Hum! with { Overtones = [second, third] } } };
    }

    private static SyntheticOptions Turning(SyntheticOptions options, Draws draws)
    {
        double sweep = draws.Log(200, 50_000);
        return options with
        {
            Ramp = options.Ramp with { NoiseCodes = draws.Between(0, 2) },
            Sweep = options.Sweep with
            {
                SweepScans = sweep,
                RetraceScans = Math.Max(2, sweep * draws.Log(0.005, 0.2)),
                RetraceConstants = draws.Log(0.5, 15),
                RestScans = draws.Chance(0.5) ? 0 : sweep * draws.Log(0.0005, 0.02),
            },
        };
    }

    private static SyntheticOptions Coupled(SyntheticOptions options, Draws draws)
    {
        // At rest the ramp is half its way from its mean, and drifts by that over the time constant.
        double sweep = options.Sweep.SweepScans, constants = draws.Log(0.005, 0.5), longest = Math.Min(0.5, 0.02 / constants);
        return options with
        {
            Ramp = options.Ramp with { Low = 0.15, High = 0.75, CouplingHz = constants * options.ScanRateHz / (2 * Math.PI * sweep) },
            Sweep = options.Sweep with { RestScans = sweep * draws.Between(0, longest), RetraceScans = Math.Max(2, sweep * draws.Between(0.02, 0.1)) },
        };
    }

    private static SyntheticOptions RestingAnywhere(SyntheticOptions options, Draws draws)
    {
        RampModel ramp = options.Ramp with { Low = draws.Between(0.05, 0.3), High = draws.Between(0.7, 0.95) };
        double level = draws.Whole(0, 4) switch
        {
            0 => ramp.Low,
            1 => ramp.High,
            2 => draws.Between(0, ramp.Low),
            3 => draws.Between(ramp.High, 1),
            _ => draws.Between(ramp.Low, ramp.High),
        };
        return options with { Ramp = ramp, Sweep = options.Sweep with { RestLevel = level } };
    }

    private static SyntheticOptions Changing(SyntheticOptions options, Draws draws)
    {
        double factor = draws.Log(1, 100);
        bool slower = draws.Chance(0.5);
        double[] factors = slower ? [1, 1, 1, factor, factor] : [factor, factor, factor, 1, 1];
        return options with
        {
            Sweep = options.Sweep with
            {
                SweepScans = draws.Log(50, 400),
                RetraceScans = draws.Between(2, 30),
                RestScans = draws.Between(5, 100),
                SweepFactors = factors,
            },
        };
    }

    private static SyntheticOptions BeginningInside(SyntheticOptions options, Draws draws) => options with
    {
        Sweep = options.Sweep with
        {
            Begin = draws.OneOf(BeginPhase.Sweep, BeginPhase.Retrace, BeginPhase.Rest),
            BeginShare = draws.Between(0, 0.999),
        },
        Sweeps = null,
        Scans = (long)(draws.Between(0.2, 8) * options.Sweep.SweepScans),
    };

    private static SyntheticOptions InFifth(SyntheticOptions options, Draws draws)
    {
        double low = draws.Between(0.02, 0.78);
        return options with { Ramp = options.Ramp with { Low = low, High = low + 0.2 } };
    }

    private static SyntheticOptions Drifting(SyntheticOptions options, Draws draws)
    {
        const int sweeps = 20;
        double seconds = sweeps * 1.5 * options.Sweep.SweepScans / options.ScanRateHz;
        return options with
        {
            Sweeps = sweeps,
            Ramp = options.Ramp with
            {
                Low = 0.1,
                High = 0.85,
                OffsetDriftPerSecond = draws.Between(-0.05, 0.05) / seconds,
                SizeDriftPerSecond = draws.Between(-0.05, 0.05) / seconds,
            },
        };
    }

    private static SyntheticOptions Paused(SyntheticOptions options, Draws draws, bool blanked) => options with
    {
        Ramp = options.Ramp with
        {
            Pause = new(draws.Between(0.1, 0.9), draws.Log(0.02, 1) * options.Sweep.SweepScans, blanked),
        },
    };

    private static SyntheticOptions Blanked(SyntheticOptions options, Draws draws) => options with
    {
        Roles = draws.OneOf<ChannelRole[]>(
            [ChannelRole.Ramp, ChannelRole.Vertical, ChannelRole.Blanking],
            [ChannelRole.Blanking, ChannelRole.Ramp, ChannelRole.Vertical],
            [ChannelRole.Vertical, ChannelRole.Blanking, ChannelRole.Ramp]),
        Blanking = new BlankingModel
        {
            HighIsBlanked = draws.Chance(0.5),
            NoiseCodes = draws.Between(0, 10),
            LeadScans = draws.Chance(0.5) ? 0 : draws.Between(-2, 2),
        },
    };
}
