using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;
using Acquire.Traces;

namespace Acquire.Harness.Output;

/// <summary>The words by which machine output and messages name things; part of the contract.</summary>
internal static class WordNames
{
    public static string Of(Placement placement) => placement == Placement.Fitted ? "fitted" : "direct";

    /// <summary>Fitted when any scan of the sweep was placed so; the share stands beside it.</summary>
    public static string PlacementOf(in SweepInfo sweep) => Of(sweep.ScansFitted > 0 ? Placement.Fitted : Placement.Direct);

    public static string Of(SignalUp up) => up == SignalUp.CodesRise ? "codes-rise" : "codes-fall";

    public static string Of(SweepStart start) => start switch
    {
        SweepStart.Gap => "gap",
        SweepStart.Break => "break",
        SweepStart.Begin => "begin",
        _ => "ramp",
    };

    public static string Of(SweepEnd end) => end switch
    {
        SweepEnd.Abort => "abort",
        SweepEnd.Gap => "gap",
        SweepEnd.Break => "break",
        SweepEnd.End => "end",
        _ => "retrace",
    };

    public static string Of(RampDirection direction) => direction switch
    {
        RampDirection.Rising => "rising",
        RampDirection.Falling => "falling",
        RampDirection.Both => "both",
        _ => "auto",
    };

    public static string Of(Detector detector) => detector switch
    {
        Detector.Peak => "peak",
        Detector.Minimum => "minimum",
        Detector.Average => "average",
        Detector.Rms => "rms",
        _ => "sample",
    };

    public static string Of(GapCause cause) => cause switch
    {
        GapCause.Overrun => "overrun",
        GapCause.Link => "link",
        GapCause.File => "file",
        GapCause.Reset => "reset",
        _ => "unknown",
    };

    public static string Of(AveragingDomain domain) => domain switch
    {
        AveragingDomain.Voltage => "voltage",
        AveragingDomain.Power => "power",
        _ => "level",
    };

    /// <summary>The domain in which a value is a mean, or null for a detector that is none.</summary>
    public static string? DomainOf(ValueChoice choice, VerticalConverter converter) => choice.Detector switch
    {
        Detector.Rms => Of(AveragingDomain.Power),
        Detector.Average => choice.Unit == ValueUnit.Code ? "codes" : choice.Unit == ValueUnit.Volts ? "volts" : Of(choice.Domain ?? converter.OwnDomain),
        _ => null,
    };
}
