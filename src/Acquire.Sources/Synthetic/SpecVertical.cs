using Acquire.Scales;

namespace Acquire.Sources.Synthetic;

/// <summary>Reads verticals from a description.</summary>
internal static class SpecVertical
{
    public static IReadOnlyList<VerticalModel> ReadAll(SpecObject spec, SyntheticOptions options)
    {
        SpecValue? one = spec["vertical"], many = spec["verticals"];
        if (one is not null && many is not null) throw new SyntheticSpecException("vertical and verticals are both given; give one of them.");
        if (one is { } single) return [Read(single, options, 0)];
        if (many is not { } list) return options.Verticals;
        return [.. list.List().Select((v, i) => Read(v, options, i))];
    }

    private static VerticalModel Read(SpecValue value, SyntheticOptions options, int index)
    {
        VerticalModel start = options.VerticalOf(index);
        if (!value.IsObject) return start with { Kind = value.Word<VerticalKind>() };
        SpecObject vertical = new(value);
        VerticalModel result = Read(vertical, start, options.ScanRateHz);
        vertical.Finish();
        return result;
    }

    private static VerticalModel Read(SpecObject vertical, VerticalModel start, double rate) => start with
    {
        Kind = vertical["kind"]?.Word<VerticalKind>() ?? start.Kind,
        SourceDb = vertical.NumberOrNone("source", start.SourceDb, "dB"),
        SourceBumpsDb = vertical.Number("bumps", start.SourceBumpsDb, "dB"),
        Tones = vertical.Parts("tones", start.Tones, t => new Tone(t.Needed("frequency").Number("Hz"), t.Needed("level").Number("dB"))),
        ResolutionHz = vertical.Number("resolution", start.ResolutionHz, "Hz"),
        SweepRateLoss = vertical.Flag("sweepRateLoss", start.SweepRateLoss),
        Filter = vertical.Part("filter", start.Filter, f => ReadFilter(f, start.Filter ?? new FilterModel())),
        Needles = vertical.Parts("needles", start.Needles, n => new Needle(SpecCycle.ShareOf(n.Needed("at")), n.Needed("level").Number("dB"))),
        NoiseFloorDb = vertical.NumberOrNone("floor", start.NoiseFloorDb, "dB"),
        Law = vertical["law"]?.Word<VerticalLaw>() ?? start.Law,
        TopDb = vertical.Number("top", start.TopDb, "dB"),
        BottomDb = vertical.Number("bottom", start.BottomDb, "dB"),
        TopShare = SpecCycle.Share(vertical, "topShare", start.TopShare),
        BottomShare = SpecCycle.Share(vertical, "bottomShare", start.BottomShare),
        RestingShare = SpecCycle.Share(vertical, "restingShare", start.RestingShare),
        SineHz = vertical.Number("sineFrequency", start.SineHz, "Hz"),
        SineCodes = vertical.NumberOrNone("sineAmplitude", start.SineCodes, "codes"),
        VideoHz = vertical.NumberOrNone("video", start.VideoHz, "Hz"),
        VideoPoles = vertical.Count("videoPoles", start.VideoPoles),
        DelayScans = vertical["delay"]?.Scans(rate, null) ?? start.DelayScans,
        NoiseCodes = vertical.Number("noise", start.NoiseCodes, "codes"),
        Hum = vertical.Part("hum", start.Hum, SpecRamp.ReadHum),
        FlybackShare = vertical["flybackShare"] is { } flyback ? (flyback.IsNone ? null : SpecCycle.ShareOf(flyback)) : start.FlybackShare,
        Volts = SpecRamp.Volts(vertical, start.Volts),
    };

    private static FilterModel ReadFilter(SpecObject filter, FilterModel start) => start with
    {
        Family = filter["family"]?.Word<FilterFamily>() ?? start.Family,
        Band = filter["band"]?.Word<FilterBand>() ?? start.Band,
        Order = filter.Count("order", start.Order),
        FrequencyHz = filter.Number("frequency", start.FrequencyHz, "Hz"),
        BandwidthHz = filter.Number("bandwidth", start.BandwidthHz, "Hz"),
        RippleDb = filter.Number("ripple", start.RippleDb, "dB"),
    };
}
