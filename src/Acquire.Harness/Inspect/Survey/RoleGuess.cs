using Acquire.Capture;

namespace Acquire.Harness.Inspect.Survey;

/// <summary>Which role a channel's course suggests.</summary>
internal static class RoleGuess
{
    // A sweep takes a good part of the time; where the instrument rests fifty times as long as it sweeps, still a fiftieth.
    private const double LeastShareInLegs = 0.02;

    /// <summary>How much faster a flyback is than the sweep at least: between one as long and one half as long.</summary>
    public const double FasterBack = 1.41;

    /// <summary>Share of the legs that must be straight.</summary>
    public const double MostLegs = 0.8;

    /// <summary>No vertical flies back so much faster than it rises, and no instrument draws both ways so unlike: then the ramp may kink or pause.</summary>
    public const double MuchFasterBack = 3;

    /// <summary>Suggests a role.</summary>
    /// <param name="channel">What the survey knows.</param>
    /// <param name="histogram">Codes of the channel.</param>
    /// <returns>A role, or null for a channel without movement, and the reason in plain words.</returns>
    public static (ChannelRole? Role, string Reason) Of(ChannelReport channel, CodeHistogram histogram)
    {
        if (channel.ValidCodes == 0) return (null, "no valid code");
        if (channel.Still) return (null, "stands still");
        if (IsTwoLevel(channel, histogram)) return (ChannelRole.Blanking, "has two levels and nothing between them");
        if (IsRamp(channel, channel.RisingLegs, channel.FallingLegs))
            return (ChannelRole.Ramp, Describe("rises", channel.RisingLegs, "falls back", channel.FallingLegs));
        if (IsRamp(channel, channel.FallingLegs, channel.RisingLegs))
            return (ChannelRole.Ramp, Describe("falls", channel.FallingLegs, "rises back", channel.RisingLegs));
        return (ChannelRole.Vertical, "moves, but not straight from end to end");
    }

    /// <summary>Whether a channel looks like a ramp that draws the one way and comes back the other.</summary>
    /// <param name="channel">What the survey knows.</param>
    /// <param name="forth">Its legs the way that draws.</param>
    /// <param name="back">Its legs the other way.</param>
    /// <remarks>Legs as long forth as back may be a triangle or a sine: then only straightness tells.</remarks>
    public static bool IsRamp(ChannelReport channel, LegStatistics forth, LegStatistics back)
    {
        if (forth.Count == 0 || (back.Count > 0 && forth.MeanScans < back.MeanScans)) return false;
        double faster = back.Count == 0 ? FasterBack : forth.MeanScans / back.MeanScans;
        long straight = faster >= MuchFasterBack ? forth.FairlyStraightCount : faster >= FasterBack ? forth.StraightCount : forth.VeryStraightCount;
        return straight >= MostLegs * forth.Count && forth.FairlyStraightScans >= LeastShareInLegs * channel.ValidCodes;
    }

    // Half-way levels are rare, each level is narrow, and both occur.
    private static bool IsTwoLevel(ChannelReport channel, CodeHistogram histogram)
    {
        int low = channel.LowestCode, high = channel.HighestCode, range = high - low;
        if (range < 16) return false;
        long between = histogram.CountIn(low + (range / 8), high - (range / 8) + 1);
        long atLow = histogram.CountIn(low, low + (range / 8));
        long atHigh = histogram.CountIn(high - (range / 8) + 1, high + 1);
        double total = channel.ValidCodes;
        return between <= 0.005 * total && atLow >= 0.001 * total && atHigh >= 0.001 * total;
    }

    private static string Describe(string forth, LegStatistics legs, string back, LegStatistics backLegs)
    {
        string often = legs.Count == 1 ? "once" : $"{legs.Count:N0} times";
        string text = $"{forth} straight over most of its range {often}, in {legs.MeanScans:N0} scans";
        return backLegs.Count == 0 ? text : $"{text}, and {back} in {backLegs.MeanScans:N0}";
    }
}
