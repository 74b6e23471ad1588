using Acquire.Capture;
using Acquire.Columns;
using Acquire.Scales;
using Acquire.Sweeps;

namespace Acquire.Recordings.Setups;

/// <summary>The words that stand for choices in a setup file; the command line uses the same ones.</summary>
internal static class SetupWords
{
    public static readonly (ChannelRole Value, string Word)[] Roles =
        [(ChannelRole.Ramp, "ramp"), (ChannelRole.Vertical, "vertical"), (ChannelRole.Blanking, "blanking"), (ChannelRole.Auxiliary, "auxiliary")];

    public static readonly (VerticalLaw Value, string Word)[] Laws =
        [(VerticalLaw.Logarithmic, "log"), (VerticalLaw.Voltage, "voltage"), (VerticalLaw.Power, "power")];

    public static readonly (SignalUp Value, string Word)[] Ups =
        [(SignalUp.CodesRise, "codes-rise"), (SignalUp.CodesFall, "codes-fall")];

    public static readonly (SweepMode Value, string Word)[] Modes =
        [(SweepMode.Swept, "swept"), (SweepMode.Manual, "manual"), (SweepMode.Time, "time")];

    public static readonly (RampDirection Value, string Word)[] Directions =
        [(RampDirection.Auto, "auto"), (RampDirection.Rising, "rising"), (RampDirection.Falling, "falling"), (RampDirection.Both, "both")];

    public static readonly (Placement Value, string Word)[] Placements =
        [(Placement.Fitted, "fitted"), (Placement.Direct, "direct")];

    public static readonly (AveragingDomain Value, string Word)[] Domains =
        [(AveragingDomain.Level, "level"), (AveragingDomain.Voltage, "voltage"), (AveragingDomain.Power, "power")];

    /// <summary>The word for a choice.</summary>
    public static string Of<T>((T Value, string Word)[] words, T value)
        where T : struct, Enum
    {
        foreach ((T known, string word) in words)
            if (EqualityComparer<T>.Default.Equals(known, value)) return word;
        throw new ArgumentException($"{value} is no known {typeof(T).Name}; use a named value.");
    }
}
