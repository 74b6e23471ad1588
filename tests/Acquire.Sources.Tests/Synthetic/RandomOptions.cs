using Acquire.Capture;
using Acquire.Scales;
using Acquire.Sources.Synthetic;
using CsCheck;

namespace Acquire.Sources.Tests.Synthetic;

/// <summary>Draws options over their documented ranges, short enough to be read to the end.</summary>
internal static class RandomOptions
{
    public static Gen<SyntheticOptions> Any { get; } =
        from ramp in Ramp
        from sweep in Timing
        from vertical in Vertical
        from converter in Converter
        from loss in Loss
        from blanking in Blanking
        from roles in Roles
        from bits in Gen.Int[1, 16]
        from seed in Gen.ULong
        from scans in Gen.Long[0, 4_000]
        select new SyntheticOptions
        {
            Ramp = ramp,
            Sweep = sweep,
            Verticals = [vertical],
            Converter = converter with { MissingCodes = Math.Min(converter.MissingCodes, (1 << bits) / 2), ZeroBits = Math.Min(converter.ZeroBits, bits - 1) },
            Loss = loss,
            Blanking = blanking,
            Roles = roles,
            Bits = bits,
            Seed = seed,
            Scans = scans,
        };

    private static Gen<RampModel> Ramp =>
        from kind in Gen.Enum<RampKind>()
        from low in Gen.Double[-0.3, 0.4]
        from size in Gen.Double[0.1, 1.2]
        from overscan in Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 0.5])
        from noise in Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 50])
        from hum in Gen.Null(Hum)
        from isReal in Gen.Bool
        from spikes in Gen.Null(Spikes)
        from bow in Gen.Double[-0.25, 0.25]
        from kink in Gen.Null(from a in Gen.Double[0.01, 0.99] from f in Gen.Double[0.01, 0.99] select new Kink(a, f))
        from pause in Gen.Null(from a in Gen.Double[0.001, 0.999] from s in Gen.Double[0.1, 500] from b in Gen.Bool select new PauseModel(a, s, b))
        from steps in Gen.OneOf(Gen.Const(0), Gen.Int[2, 300])
        from coupling in Gen.Nullable(Gen.Double[0.001, 10_000])
        from drift in Gen.Double[-1, 1]
        from share in Gen.Double[0, 1]
        from clip in Gen.Nullable(Gen.Double[0.01, 0.5])
        select new RampModel
        {
            Kind = kind,
            Low = low,
            High = low + size,
            Overscan = overscan,
            NoiseCodes = noise,
            Hum = hum,
            HumIsReal = isReal,
            Spikes = spikes,
            Bow = bow,
            Kink = kink,
            Pause = pause,
            Steps = steps,
            CouplingHz = coupling,
            OffsetDriftPerSecond = drift,
            SizeDriftPerSecond = drift / 2,
            FloatingShare = share,
            MainsClip = clip,
        };

    private static Gen<Hum> Hum =>
        from amplitude in Gen.Double[0, 100]
        from frequency in Gen.Double[0.1, 10_000]
        from phase in Gen.Double[0, 1]
        from overtones in Gen.Select(Gen.Double[0, 1], Gen.Double[0, 1], (share, turns) => new Overtone(share, turns)).Array[0, 3]
        select new Hum(amplitude, frequency, phase) { Overtones = overtones };

    private static Gen<SpikeModel> Spikes =>
        from every in Gen.Double[1, 200]
        from amplitude in Gen.Nullable(Gen.Double[0, 5_000])
        from direction in Gen.Enum<SpikeDirection>()
        select new SpikeModel(every, amplitude, direction);

    private static Gen<SweepTiming> Timing =>
        from sweep in Gen.Double[2, 1_500]
        from factors in Gen.Double[0.1, 10].Array[0, 3]
        from jitter in Gen.Double[0, 0.9]
        from back in Gen.Double[0.1, 10]
        from retrace in Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 700])
        from shape in Gen.Enum<RetraceShape>()
        from rest in Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 700])
        from restJitter in Gen.Double[0, 1]
        from level in Gen.Nullable(Gen.Double[-0.5, 1.5])
        from abort in Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 1])
        from begin in Gen.Enum<BeginPhase>()
        from share in Gen.Double[0, 0.999]
        select new SweepTiming
        {
            SweepScans = sweep,
            SweepFactors = factors,
            SweepJitter = jitter,
            ReturnFactor = back,
            RetraceScans = retrace,
            RetraceShape = shape,
            RestScans = rest,
            RestJitter = restJitter,
            RestLevel = level,
            AbortChance = abort,
            Begin = begin,
            BeginShare = share,
        };

    private static Gen<VerticalModel> Vertical =>
        from kind in Gen.Enum<VerticalKind>()
        from law in Gen.Enum<VerticalLaw>()
        from source in Gen.Nullable(Gen.Double[-100, 10])
        from bumps in Gen.Double[0, 6]
        from tones in (from f in Gen.Double[0, 60_000] from l in Gen.Double[-100, 10] select new Tone(f, l)).Array[0, 3]
        from filter in Gen.Null(Filter)
        from needles in (from f in Gen.Double[0, 1] from l in Gen.Double[-100, 10] select new Needle(f, l)).Array[0, 3]
        from floor in Gen.Nullable(Gen.Double[-120, 0])
        from video in Gen.Nullable(Gen.Double[1, 100_000])
        from poles in Gen.Int[1, 8]
        from delay in Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 200])
        from noise in Gen.Double[0, 10]
        from top in Gen.Double[0.5, 1]
        from flips in Gen.Bool
        from flyback in Gen.Nullable(Gen.Double[0, 1])
        from loss in Gen.Bool
        select new VerticalModel
        {
            Kind = kind,
            Law = law,
            SourceDb = source,
            SourceBumpsDb = bumps,
            Tones = tones,
            Filter = filter,
            Needles = needles,
            NoiseFloorDb = floor,
            VideoHz = video,
            VideoPoles = poles,
            DelayScans = delay,
            NoiseCodes = noise,
            TopShare = flips ? 0.1 : top,
            BottomShare = flips ? top : 0.1,
            FlybackShare = flyback,
            SweepRateLoss = loss,
        };

    private static Gen<FilterModel> Filter =>
        from family in Gen.Enum<FilterFamily>()
        from band in Gen.Enum<FilterBand>()
        from order in Gen.Int[1, 12]
        from f in Gen.Double[100, 60_000]
        from b in Gen.Double[10, 30_000]
        from ripple in Gen.Double[0.01, 6]
        select new FilterModel { Family = family, Band = band, Order = order, FrequencyHz = f, BandwidthHz = b, RippleDb = ripple };

    private static Gen<ConverterModel> Converter =>
        from gain in Gen.Double[0.5, 2]
        from offset in Gen.Double[-100, 100]
        from width in Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 2])
        from bend in Gen.OneOf(Gen.Const(0.0), Gen.Double[0, 64])
        from missing in Gen.Int[0, 20]
        from zero in Gen.OneOf(Gen.Const(0), Gen.Int[0, 15])
        from clamp in Gen.Double[0, 0.4]
        from skew in Gen.Double[0, 1]
        select new ConverterModel
        {
            Gain = gain,
            OffsetCodes = offset,
            WidthSpreadCodes = width,
            BendCodes = bend,
            MissingCodes = missing,
            ZeroBits = zero,
            ClampLow = clamp,
            ClampHigh = 1 - clamp,
            SkewScans = skew,
        };

    private static Gen<LossModel> Loss =>
        from gaps in (from a in Gen.Long[1, 5_000] from l in Gen.Long[1, 3_000] select new GapAt(a, l)).Array[0, 3]
        from breaks in (from a in Gen.Long[1, 5_000] from l in Gen.Long[0, 3_000] select new BreakAt(a, l)).Array[0, 3]
        from gapEvery in Gen.Nullable(Gen.Double[30, 2_000])
        from breakEvery in Gen.Nullable(Gen.Double[30, 2_000])
        from most in Gen.Long[1, 1_000]
        select new LossModel { Gaps = gaps, Breaks = breaks, GapEveryScans = gapEvery, BreakEveryScans = breakEvery, GapMaxScans = most, BreakMaxScans = most };

    private static Gen<BlankingModel> Blanking =>
        from high in Gen.Bool
        from noise in Gen.Double[0, 5]
        from lead in Gen.Double[-300, 300]
        select new BlankingModel { HighIsBlanked = high, NoiseCodes = noise, LeadScans = lead };

    private static Gen<ChannelRole[]> Roles =>
        from blanking in Gen.Bool
        from verticals in Gen.Int[1, 3]
        from auxiliaries in Gen.Int[0, 3]
        from shuffled in Gen.Shuffle((ChannelRole[])
            [
                ChannelRole.Ramp,
                .. Enumerable.Repeat(ChannelRole.Vertical, verticals),
                .. Enumerable.Repeat(ChannelRole.Blanking, blanking ? 1 : 0),
                .. Enumerable.Repeat(ChannelRole.Auxiliary, auxiliaries),
            ])
        select shuffled;
}
