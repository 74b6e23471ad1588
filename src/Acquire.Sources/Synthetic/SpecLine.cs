using Acquire.Capture;

namespace Acquire.Sources.Synthetic;

/// <summary>Reads converter, blanking and losses from a description.</summary>
internal static class SpecLine
{
    public static ConverterModel ReadConverter(SpecObject converter, ConverterModel start) => start with
    {
        Gain = converter.Number("gain", start.Gain),
        OffsetCodes = converter.Number("offset", start.OffsetCodes, "codes"),
        WidthSpreadCodes = converter.Number("widthSpread", start.WidthSpreadCodes, "codes"),
        BendCodes = converter.Number("bend", start.BendCodes, "codes"),
        MissingCodes = converter.Count("missingCodes", start.MissingCodes),
        ZeroBits = converter.Count("zeroBits", start.ZeroBits),
        ClampLow = SpecCycle.Share(converter, "clampLow", start.ClampLow),
        ClampHigh = SpecCycle.Share(converter, "clampHigh", start.ClampHigh),
        SkewScans = converter.Number("skew", start.SkewScans, "scans"),
    };

    public static BlankingModel ReadBlanking(SpecObject blanking, SyntheticOptions options)
    {
        BlankingModel start = options.Blanking;
        return start with
        {
            HighIsBlanked = blanking.Flag("highIsBlanked", start.HighIsBlanked),
            Low = SpecCycle.Share(blanking, "low", start.Low),
            High = SpecCycle.Share(blanking, "high", start.High),
            NoiseCodes = blanking.Number("noise", start.NoiseCodes, "codes"),
            LeadScans = blanking["lead"]?.Scans(options.ScanRateHz, null) ?? start.LeadScans,
        };
    }

    public static LossModel ReadLoss(SpecObject spec, SyntheticOptions options)
    {
        LossModel start = options.Loss;
        double rate = options.ScanRateHz;
        return spec.Part("loss", start, loss => start with
        {
            Gaps = loss.Parts("gaps", start.Gaps, g => new GapAt(g.Needed("atScan").Whole(), g.Needed("lostScans").Whole())),
            Breaks = loss.Parts("breaks", start.Breaks, b => new BreakAt(b.Needed("atScan").Whole(), b.Whole("hiddenScans", 0) ?? 0)),
            GapEveryScans = loss["gapEvery"] is { } gap ? (gap.IsNone ? null : gap.Scans(rate, null)) : start.GapEveryScans,
            GapMaxScans = loss.Whole("gapMax", start.GapMaxScans) ?? start.GapMaxScans,
            BreakEveryScans = loss["breakEvery"] is { } b ? (b.IsNone ? null : b.Scans(rate, null)) : start.BreakEveryScans,
            BreakMaxScans = loss.Whole("breakMax", start.BreakMaxScans) ?? start.BreakMaxScans,
            Cause = loss["cause"]?.Word<GapCause>() ?? start.Cause,
        }) ?? new LossModel();
    }
}
