using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;
using CsCheck;

namespace Acquire.Recordings.Tests.Doubles;

/// <summary>Random setups that keep every rule.</summary>
internal static class SetupGen
{
    private static readonly Gen<decimal> Decimals =
        Gen.Select(Gen.Int, Gen.Int[0, 12]).Select((digits, scale) => new decimal(digits & int.MaxValue, 0, 0, digits < 0, (byte)scale));

    private static readonly Gen<double> Positive = Gen.Double[1e-9, 1e12];

    private static readonly Gen<string> Texts = Gen.String[Gen.Char["abc\"\\/ \u00B5\u03A9\u2028\n<&{}0"], 0, 12];

    private static readonly Gen<CodeVolts> Volts =
        Gen.Select(Decimals, Decimals).Where(v => v.Item1 != v.Item2).Select((a, b) => new CodeVolts(a, b));

    private static readonly Gen<ScanFormat> Scans =
        Gen.Select(Gen.OneOf(Gen.Const(ChannelRole.Vertical), Gen.Const(ChannelRole.Auxiliary)).List[0, 5], Gen.Int[1, 16], Positive)
            .Select((more, bits, rate) => new ScanFormat { Roles = [ChannelRole.Vertical, .. more, ChannelRole.Ramp], Bits = bits, ScanRateHz = rate });

    private static readonly Gen<VerticalScale> Scales =
        Gen.Select(Volts.Null(), Gen.Enum<VerticalLaw>(), Gen.Enum<SignalUp>(), Decimals, Gen.Int[2, 9], Texts)
            .Select((volts, law, up, zero, points, unit) => new VerticalScale
            {
                Volts = volts,
                Law = law,
                Up = up,
                ZeroVolts = zero,
                LevelUnit = unit,
                Level = law == VerticalLaw.Logarithmic
                    ? [.. Enumerable.Range(0, points).Select(i => new LevelPoint(zero + (i * 0.1m), -i * 1.5m))]
                    : [new LevelPoint(zero + 1, points)],
            });

    private static readonly Gen<SweepOptions> Sweeps =
        Gen.Select(Gen.Enum<SweepMode>(), Gen.Enum<RampDirection>(), Volts.Null(), Gen.Bool.Nullable(), Gen.Int[0, 65_535].Nullable(), Gen.Double[-1, 1], Positive)
            .Select((mode, direction, edges, high, code, lead, span) => new SweepOptions
            {
                Mode = mode,
                Direction = direction,
                Edges = edges is null ? null : new SweepEdges(Math.Min(edges.AtCodeZero, edges.AtFullCode), Math.Max(edges.AtCodeZero, edges.AtFullCode)),
                Blanking = new BlankingOptions { HighIsBlanked = high, ThresholdCode = code, HysteresisCodes = code, LeadSeconds = lead },
                TimeSpan = span,
            });

    private static readonly Gen<ColumnOptions> Columns =
        Gen.Select(Gen.Int[2, 65_536], Gen.Enum<Placement>(), Gen.Bool, Gen.Double[0, 1], Gen.Double[0, 9].Nullable(), Gen.Int[0, 99])
            .Select((count, placement, ripple, skew, settle, fill) => new ColumnOptions
            {
                ColumnCount = count,
                Placement = placement,
                RippleIsReal = ripple,
                Domains = ripple ? [AveragingDomain.Voltage] : [],
                SkewScans = skew,
                VideoDelaySeconds = skew / 3,
                SettleSeconds = settle,
                FillOverSweeps = fill,
            });

    private static readonly Gen<InstrumentSettings> Settings =
        Gen.Select(Texts.Null(), Gen.Double[-1e12, 1e12].Nullable(), Positive.Nullable(), Gen.Dictionary(Texts, Texts)[0, 4])
            .Select((name, centre, positive, more) => new InstrumentSettings
            {
                Instrument = name,
                CentreHz = centre,
                SpanHz = positive,
                ResolutionBandwidthHz = positive,
                ReferenceLevelDb = centre / 1e10,
                SweepTimeSeconds = positive,
                More = more,
            });

    public static Gen<Setup> Setups { get; } =
        Gen.Select(Scans, Volts.Null(), Scales.List[0, 1], Sweeps, Columns, Settings, Gen.Double[-1e9, 1e9])
            .Select((scan, ramp, verticals, sweep, columns, settings, start) => new Setup
            {
                Scan = scan,
                RampVolts = ramp,
                Verticals = verticals,
                Sweep = sweep,
                Axis = start < 0 ? null : new SweepAxis(start, start - 1.5, start < 5e8 ? "s" : "Hz"),
                Columns = columns,
                Traces = new TraceOptions { HistorySweeps = columns.FillOverSweeps, CountAborted = columns.RippleIsReal },
                Settings = settings,
            });
}
