using Acquire.Scales;

namespace Acquire.Sources.Synthetic;

/// <summary>Reads the ramp channel from a description.</summary>
internal static class SpecRamp
{
    public static RampModel Read(SpecObject spec, SyntheticOptions options)
    {
        if (spec["ramp"] is not { } value) return options.Ramp;
        if (!value.IsObject) return options.Ramp with { Kind = KindOf(value) };
        SpecObject ramp = new(value);
        RampModel result = Read(ramp, options.Ramp, options);
        ramp.Finish();
        return result;
    }

    /// <summary>Two voltages, at code 0 and at the full code.</summary>
    public static CodeVolts Volts(SpecObject spec, CodeVolts otherwise)
    {
        if (spec["volts"] is not { } value) return otherwise;
        IReadOnlyList<SpecValue> ends = value.List();
        return ends.Count == 2
            ? new CodeVolts((decimal)ends[0].Number("V"), (decimal)ends[1].Number("V"))
            : throw value.Wrong("two voltages, at code 0 and at the full code, such as [0, 10]");
    }

    public static Hum ReadHum(SpecObject hum) => new(
        hum.Needed("amplitude").Number("codes"),
        hum.Number("frequency", 50, "Hz"),
        hum.Number("phase", 0))
    { Overtones = hum["overtones"] is { } list ? [.. list.List().Select(ReadOvertone)] : [] };

    /// <summary>A share, or a share with its phase.</summary>
    private static Overtone ReadOvertone(SpecValue value)
    {
        if (!value.IsObject) return new Overtone(SpecCycle.ShareOf(value));
        SpecObject overtone = new(value);
        Overtone result = new(SpecCycle.ShareOf(overtone.Needed("share")), overtone.Number("phase", 0));
        overtone.Finish();
        return result;
    }

    private static RampKind KindOf(SpecValue value) => value.Word<RampKind>(("both", RampKind.BothWays));

    private static RampModel Read(SpecObject ramp, RampModel start, SyntheticOptions options)
    {
        double full = options.Format.FullCode;
        return start with
        {
            Kind = ramp["kind"] is { } kind ? KindOf(kind) : start.Kind,
            Low = Edge(ramp, "low", start.Low, full),
            High = Edge(ramp, "high", start.High, full),
            Overscan = SpecCycle.Share(ramp, "overscan", start.Overscan),
            NoiseCodes = ramp.Number("noise", start.NoiseCodes, "codes"),
            Hum = ramp.Part("hum", start.Hum, ReadHum),
            HumIsReal = ramp.Flag("humIsReal", start.HumIsReal),
            Spikes = ramp.Part("spikes", start.Spikes, s => new SpikeModel(
                s.Needed("every").Scans(options.ScanRateHz, null),
                s.NumberOrNone("amplitude", null, "codes"),
                s["direction"]?.Word<SpikeDirection>() ?? SpikeDirection.Either)
            { ApartScans = s.Count("apart", 1) }),
            Bow = SpecCycle.Share(ramp, "bow", start.Bow),
            Kink = ramp.Part("kink", start.Kink, k => new Kink(SpecCycle.ShareOf(k.Needed("at")), SpecCycle.ShareOf(k.Needed("fraction")))),
            Pause = ramp.Part("pause", start.Pause, p => new PauseModel(
                SpecCycle.ShareOf(p.Needed("at")), p.Needed("time").Scans(options.ScanRateHz, options.Sweep.SweepScans), p.Flag("blanked", false))),
            Steps = ramp.Count("steps", start.Steps),
            OffsetDriftPerSecond = SpecCycle.Share(ramp, "offsetDrift", start.OffsetDriftPerSecond),
            SizeDriftPerSecond = SpecCycle.Share(ramp, "sizeDrift", start.SizeDriftPerSecond),
            CouplingHz = ramp.NumberOrNone("coupling", start.CouplingHz, "Hz"),
            RestingLevel = SpecCycle.Share(ramp, "level", start.RestingLevel),
            WalkCodes = ramp.Number("walk", start.WalkCodes, "codes"),
            MainsHz = ramp.Number("mainsFrequency", start.MainsHz, "Hz"),
            MainsAmplitude = SpecCycle.Share(ramp, "mainsAmplitude", start.MainsAmplitude),
            MainsClip = ramp["mainsClip"] is { } clip ? (clip.IsNone ? null : SpecCycle.ShareOf(clip)) : start.MainsClip,
            FloatingShare = SpecCycle.Share(ramp, "floatingShare", start.FloatingShare),
            Volts = Volts(ramp, start.Volts),
        };
    }

    /// <summary>An edge as a share of the full code, or in codes ("410 codes").</summary>
    private static double Edge(SpecObject ramp, string member, double otherwise, double fullCode)
    {
        if (ramp[member] is not { } value) return otherwise;
        bool isCodes = value.Element.ValueKind == System.Text.Json.JsonValueKind.String && value.Element.GetString()!.EndsWith("codes", StringComparison.Ordinal);
        return isCodes ? value.Number("codes") / fullCode : SpecCycle.ShareOf(value);
    }
}
