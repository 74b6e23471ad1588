using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Sources.Synthetic;

/// <summary>Writes the setup that fits a bench.</summary>
internal static class SetupWriter
{
    public static Setup Write(SyntheticOptions options)
    {
        RampModel ramp = options.Ramp;
        VerticalModel first = options.VerticalOf(0);
        int verticals = options.Format.VerticalChannels.Count;
        double videoScans = first.VideoHz is { } corner ? first.VideoPoles * options.ScanRateHz / (2 * Math.PI * corner) : 0;
        return new Setup
        {
            Scan = options.Format,
            RampVolts = ramp.Volts,
            Verticals = [.. Enumerable.Range(0, verticals).Select(v => ScaleOf(options.VerticalOf(v)))],
            Sweep = new SweepOptions
            {
                Mode = ramp.Kind == RampKind.Manual ? SweepMode.Manual : SweepMode.Swept,
                Direction = ramp.Kind switch
                {
                    RampKind.Rising => RampDirection.Rising,
                    RampKind.Falling => RampDirection.Falling,
                    RampKind.BothWays => RampDirection.Both,
                    _ => RampDirection.Auto,
                },
                Edges = EdgesOf(ramp),
                Blanking = new BlankingOptions
                {
                    HighIsBlanked = options.Format.BlankingChannel >= 0 ? options.Blanking.HighIsBlanked : null,
                    LeadSeconds = options.Format.BlankingChannel >= 0 ? options.Blanking.LeadScans / options.ScanRateHz : 0,
                },
            },
            Axis = options.StartHz == options.EndHz ? null : new SweepAxis(options.StartHz, options.EndHz),
            Columns = new ColumnOptions
            {
                SkewScans = options.Converter.SkewScans,
                VideoDelaySeconds = (videoScans + first.DelayScans) / options.ScanRateHz,
                RippleIsReal = ramp.HumIsReal,
            },
            Settings = new InstrumentSettings
            {
                Instrument = "Synthetic bench",
                CentreHz = (options.StartHz + options.EndHz) / 2,
                SpanHz = Math.Abs(options.EndHz - options.StartHz),
                ResolutionBandwidthHz = first.Tones.Count > 0 ? first.ResolutionHz : null,
                VideoBandwidthHz = first.VideoHz,
                ReferenceLevelDb = first.TopDb,
                SweepTimeSeconds = options.Sweep.SweepScans / options.ScanRateHz,
            },
        };
    }

    private static SweepEdges EdgesOf(RampModel ramp)
    {
        decimal low = VoltsAt(ramp.Volts, ramp.Low), high = VoltsAt(ramp.Volts, ramp.High);
        return low < high ? new SweepEdges(low, high) : new SweepEdges(high, low);
    }

    private static VerticalScale ScaleOf(VerticalModel model)
    {
        decimal bottom = VoltsAt(model.Volts, model.BottomShare), top = VoltsAt(model.Volts, model.TopShare);
        bool isLevel = model is { Kind: VerticalKind.Level, CodeFunction: null };
        LevelPoint topPoint = new(top, (decimal)model.TopDb);
        return new VerticalScale
        {
            Volts = model.Volts,
            Law = model.Law,
            Up = model.TopShare > model.BottomShare ? SignalUp.CodesRise : SignalUp.CodesFall,
            Level = !isLevel ? [] : model.Law == VerticalLaw.Logarithmic ? [new(bottom, (decimal)model.BottomDb), topPoint] : [topPoint],
            ZeroVolts = model.Law == VerticalLaw.Logarithmic ? 0 : bottom,
        };
    }

    private static decimal VoltsAt(CodeVolts volts, double share) =>
        volts.AtCodeZero + ((volts.AtFullCode - volts.AtCodeZero) * (decimal)share);
}
