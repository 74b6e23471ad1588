namespace Acquire.Sources.Synthetic;

/// <summary>Reads the timing of sweeps from a description.</summary>
internal static class SpecCycle
{
    public static SweepTiming ReadSweep(SpecObject spec, SyntheticOptions options)
    {
        double rate = options.ScanRateHz;
        if (spec["sweep"] is not { } value) return options.Sweep;
        if (!value.IsObject) return options.Sweep with { SweepScans = value.Scans(rate, null) };
        SpecObject sweep = new(value);
        SweepTiming result = Read(sweep, options.Sweep, rate);
        sweep.Finish();
        return result;
    }

    private static SweepTiming Read(SpecObject sweep, SweepTiming start, double rate)
    {
        double time = sweep["time"]?.Scans(rate, null) ?? start.SweepScans;
        return start with
        {
            SweepScans = time,
            SweepFactors = sweep["factors"] is { } factors ? [.. factors.List().Select(f => f.Number(""))] : start.SweepFactors,
            SweepJitter = Share(sweep, "jitter", start.SweepJitter),
            ReturnFactor = sweep.Number("returnFactor", start.ReturnFactor),
            RetraceScans = sweep["retrace"] is { } retrace ? (retrace.IsNone ? 0 : retrace.Scans(rate, time)) : start.RetraceScans,
            RetraceShape = sweep["retraceShape"]?.Word<RetraceShape>() ?? start.RetraceShape,
            RetraceConstants = sweep.Number("retraceConstants", start.RetraceConstants),
            RestScans = sweep["rest"] is { } rest ? (rest.IsNone ? 0 : rest.Scans(rate, time)) : start.RestScans,
            RestJitter = Share(sweep, "restJitter", start.RestJitter),
            RestLevel = sweep["restLevel"] is { } level ? (level.IsNone ? null : ShareOf(level)) : start.RestLevel,
            AbortChance = Share(sweep, "abortChance", start.AbortChance),
            AbortFrom = Share(sweep, "abortFrom", start.AbortFrom),
            AbortTo = Share(sweep, "abortTo", start.AbortTo),
            Aborts = sweep.Parts("aborts", start.Aborts, a => new AbortAt(a.Needed("sweep").Whole(), ShareOf(a.Needed("share")))),
            Begin = sweep["begin"]?.Word<BeginPhase>() ?? start.Begin,
            BeginShare = Share(sweep, "beginShare", start.BeginShare),
        };
    }

    /// <summary>A share as a number (0.2) or in per cent ("20 %").</summary>
    public static double Share(SpecObject spec, string member, double otherwise) => spec[member] is { } value ? ShareOf(value) : otherwise;

    /// <summary>A share as a number (0.2) or in per cent ("20 %").</summary>
    public static double ShareOf(SpecValue value) =>
        value.Element.ValueKind == System.Text.Json.JsonValueKind.String && value.Element.GetString()!.TrimEnd().EndsWith('%')
            ? value.Number("%") / 100
            : value.Number("");
}
