using Acquire.Capture;
using Acquire.Harness.Inspect.Survey;
using Acquire.Sweeps;

namespace Acquire.Harness.Inspect.Findings;

/// <summary>Findings about the ramp as a whole: is it there, is it large enough, does it fit the edges.</summary>
internal static class RampFindings
{
    // Four fifths of what the one does is what the other does.
    private const double AlikeVertical = 0.8;

    // Of the ramp's way: no nearer than ten columns of a thousand to a rail, sweeps are not cut by it.
    private const double RailShare = 0.01;

    /// <summary>Draws them.</summary>
    public static IEnumerable<Finding> Of(InspectionFacts facts) =>
        facts.Setup.Sweep.Mode == SweepMode.Time ? [] : Shape(facts);

    /// <summary>What the ramp does at both ends of the converter's range, where its sweeps come near them: what a flyback does beyond the sweeps moves no picture.</summary>
    public static (RailReport Low, RailReport High) RailsOfSweeps(InspectionFacts facts)
    {
        RailReport low = facts.RampChannel.LowRail, high = facts.RampChannel.HighRail;
        if (facts.Sweeps.Complete == 0) return (low, high);
        // Edges are read off noise, and a ramp that stands at a rail for a part of its way is learnt from there on.
        double near = Math.Max(RailShare * facts.RampExcursionCodes, CourseFindings.SureDeviations * facts.RampChannel.NoiseCodes);
        bool atLow = facts.Ramp.ClippedLow || facts.Ramp.LowCode <= near, atHigh = facts.Ramp.ClippedHigh || facts.Ramp.HighCode >= facts.UsedFullCode - near;
        return (atLow ? low : default, atHigh ? high : default);
    }

    /// <summary>The ramp is too small for the tracker to take it for one.</summary>
    public static bool IsNotBelieved(InspectionFacts facts) => facts.Sweeps.Complete == 0 && facts.RampExcursionCodes < facts.Setup.Scan.FullCode / 10.0;

    // How large and how noisy a channel is that carries no ramp says nothing about the ramp.
    private static IEnumerable<Finding> Shape(InspectionFacts facts)
    {
        Finding[] presence = [.. Presence(facts)];
        bool isRamp = !presence.Any(f => f.Severity == FindingSeverity.Error);
        return presence.Concat(Size(facts, isRamp)).Concat(Edges(facts));
    }

    private static IEnumerable<Finding> Presence(InspectionFacts facts)
    {
        ChannelReport ramp = facts.RampChannel;
        // A ramp that is turned by hand looks like none, and a vertical that went down once would look more like one.
        ChannelReport? better = ramp.LikelyRole == ChannelRole.Ramp || facts.Setup.Sweep.Mode == SweepMode.Manual ? null : facts.Channels.FirstOrDefault(c => c.LikelyRole == ChannelRole.Ramp);
        if (better is not null)
        {
            yield return new Finding(FindingName.ChannelsSwapped, FindingSeverity.Error, 1,
                $"Channel {ramp.Channel} has the role ramp but {ramp.Reason}; channel {better.Channel} looks like the ramp: it {better.Reason}.",
                $"Give --ramp-channel {better.Channel} --vertical-channel {ramp.Channel}, or swap the leads.");
            yield break;
        }

        if (ramp.Still)
        {
            yield return new Finding(FindingName.RampAbsent, FindingSeverity.Error, 1,
                $"Channel {ramp.Channel}, the ramp, does not move: it stays within {Say.Count(ramp.UsualRangeCodes, "code", "codes")} (about code {Say.Number(ramp.MeanCode)}).",
                "Check the ramp's lead and ground, and that the instrument sweeps (not manual, not waiting for a trigger). For zero span without a ramp give --mode time.");
            yield break;
        }

        if (NotARamp(facts) is { } other)
        {
            yield return other;
            yield break;
        }

        if (facts.Ramp is { Present: true, Direction: RampDirection.Falling } && facts.Sweeps.Falling > 0)
        {
            yield return new Finding(FindingName.RampFalls, FindingSeverity.Note, facts.Sweeps.Falling,
                "The ramp's codes fall during a sweep, so the beam starts at the high edge and column 0 is there.",
                "Nothing to do if the input inverts or the instrument sweeps downwards; otherwise give --direction.");
        }
    }

    private static Finding? NotARamp(InspectionFacts facts)
    {
        ChannelReport ramp = facts.RampChannel;
        int like = facts.RampLikeVerticals.Count == 0 ? -1 : facts.RampLikeVerticals.ToList().FindIndex(r => r >= AlikeVertical);
        if (like >= 0 && ramp.LikelyRole != ChannelRole.Ramp)
        {
            return new Finding(FindingName.RampFollowsVertical, FindingSeverity.Error, 1,
                $"Channel {ramp.Channel}, the ramp, repeats channel {facts.Setup.Scan.VerticalChannels[like]}, a vertical (squared correlation {Say.Number(facts.RampLikeVerticals[like], 2)}), and is no ramp.",
                "An open input repeats what the converter read before it: check the ramp's lead, its ground and its source impedance.");
        }

        if (facts.Sweeps.Complete > 0 || facts.Setup.Sweep.Mode != SweepMode.Swept) return null;
        if (facts.Setup.Scan.ScanRateHz is { } rate && HumHertz(ramp, rate) is { } hertz)
        {
            return new Finding(FindingName.RampIsHum, FindingSeverity.Error, 1,
                $"Channel {ramp.Channel}, the ramp, swings {Say.RampCodes(ramp.UsualRangeCodes, facts.Setup)} at {hertz:0} Hz and carries no ramp.",
                "The ramp's lead or its ground is off and the mains is picked up.");
        }

        bool moves = ramp.LikelyRole == ChannelRole.Vertical && ramp.UsualRangeCodes >= Math.Max(30 * ramp.NoiseCodes, facts.UsedFullCode / 20.0);
        return moves && LooksTurnedByHand(ramp, facts.Setup.Scan.ScanRateHz)
            ? new Finding(FindingName.ManualSuggested, FindingSeverity.Warning, 1,
                $"The ramp moves over {Say.RampCodes(ramp.UsualRangeCodes, facts.Setup)}, smoothly but neither straight from end to end nor evenly: it looks turned by hand.",
                "If it is, give --mode manual: then every scan belongs to the picture and nothing is taken for a retrace. Nothing was switched by itself.")
            : null;
    }

    // As often as the mains, and as long up as down.
    private static double? HumHertz(ChannelReport ramp, double rate)
    {
        long count = Math.Min(ramp.RisingLegs.Count, ramp.FallingLegs.Count);
        if (count < 6) return null;
        double up = ramp.RisingLegs.MeanScans, down = ramp.FallingLegs.MeanScans;
        if (Math.Max(up, down) > 1.41 * Math.Min(up, down)) return null;
        // The leg that the recording begins in counts, however short, and the one that it ends in does not: one leg more or less is half a wave.
        double seconds = ramp.ValidCodes / rate, waves = (ramp.RisingLegs.Count + ramp.FallingLegs.Count) / 2.0;
        return Mains.Of(waves / seconds, 0.5 / seconds) is { Multiple: 1 } mains ? mains.Hertz : null;
    }

    // A hand is slow, never jumps back, does not wander at random and keeps no beat.
    private static bool LooksTurnedByHand(ChannelReport ramp, double? rate)
    {
        LegStatistics up = ramp.QuarterRisingLegs, down = ramp.QuarterFallingLegs, all = new();
        all.Add(up);
        all.Add(down);
        bool jumpsBack = up.Count > 0 && down.Count > 0 && Math.Max(up.MeanScans, down.MeanScans) > 3 * Math.Min(up.MeanScans, down.MeanScans);
        bool slow = all.MeanScans >= (rate is { } hz ? 0.1 * hz : 200);
        bool evenly = all.Count >= 4 && all.RelativeSpread < 0.25;
        return slow && !jumpsBack && !evenly && !(ramp.Wander > 4);
    }

    private static IEnumerable<Finding> Size(InspectionFacts facts, bool isRamp)
    {
        ChannelReport ramp = facts.RampChannel;
        if (ramp.Still || ramp.LikelyRole == ChannelRole.Blanking) yield break;
        int columns = facts.Setup.Columns.ColumnCount, full = facts.UsedFullCode;
        double codes = facts.RampExcursionCodes;
        bool notBelieved = IsNotBelieved(facts);
        if (isRamp && (codes < columns || codes < full / 8.0 || notBelieved))
        {
            string why = notBelieved ? $"less than a tenth of the full code {facts.Setup.Scan.FullCode:N0} and too little to be taken for a ramp"
                : codes < columns ? $"fewer than the {columns:N0} columns it has to tell apart" : $"less than an eighth of the full code {full:N0}";
            string cure = notBelieved && full < facts.Setup.Scan.FullCode ? $"No code is above {facts.Channels.Max(c => c.HighestCode):N0}: give --bits {32 - int.LeadingZeroCount(full)}. Otherwise amplify the ramp to most of the converter's range."
                : codes < columns ? $"Amplify the ramp to most of the converter's range, or give --columns {Math.Max(2, Round(codes))} at most."
                : "Amplify the ramp to most of the converter's range.";
            yield return new Finding(FindingName.RampTooSmall, FindingSeverity.Warning, 1, $"The ramp covers {Say.RampCodes(codes, facts.Setup)}, {why}.", cure);
        }

        (RailReport low, RailReport high) = RailsOfSweeps(facts);
        long stays = low.Stays + high.Stays;
        // One scan in a thousand is one column of a thousand.
        if (stays > 0 && (low.ScansInStays + high.ScansInStays >= ramp.ValidCodes / 1_000.0 || facts.Ramp.ClippedLow || facts.Ramp.ClippedHigh))
        {
            string where = low.Stays > 0 && high.Stays > 0 ? $"code 0 and the full code {full:N0}" : low.Stays > 0 ? "code 0" : $"the full code {full:N0}";
            long at = low.FirstStay < 0 ? high.FirstStay : high.FirstStay < 0 ? low.FirstStay : Math.Min(low.FirstStay, high.FirstStay);
            yield return new Finding(FindingName.RampClipped, FindingSeverity.Warning, stays,
                $"The ramp runs into {where} and stays there, {Say.Share((double)(low.ScansInStays + high.ScansInStays) / ramp.ValidCodes)} of all scans: where the beam is then, nobody knows.",
                "Divide or shift the ramp so that both ends lie inside the converter's range.", at);
        }

        if (isRamp && ramp.NoiseCodes > facts.CodesPerColumn)
        {
            yield return new Finding(FindingName.RampNoisy, FindingSeverity.Note, 1,
                $"The ramp's noise is {Say.RampCodes(ramp.NoiseCodes, facts.Setup)} from scan to scan, more than the {Say.Number(facts.CodesPerColumn, 3)} codes of a column.",
                "Keep fitted placement, which takes it out; with direct placement a line would be smeared. Filter the ramp or ground it better.");
        }
    }

    private static IEnumerable<Finding> Edges(InspectionFacts facts)
    {
        if (facts.Ramp.AxisChanges > 0)
        {
            // They may have moved at the last sweep's end: no sweep has the new ones then.
            long at = facts.Sweeps.FirstWithMovedEdges >= 0 ? facts.Sweeps.FirstWithMovedEdges : facts.Sweeps.Last.LastOrDefault().Info.StartScan;
            yield return new Finding(FindingName.AxisMoved, FindingSeverity.Warning, facts.Ramp.AxisChanges,
                $"The ends of the ramp moved {Say.Count(facts.Ramp.AxisChanges, "time", "times")} after they had been learnt; hold, average and history start anew each time.",
                "If the sweep was not changed, the ramp drifts: let it warm up, check its coupling, or give --edges.", at);
        }

        ChannelReport ramp = facts.RampChannel;
        if (facts.Axis.Learnt || ramp.Still || ramp.LowestCode < 0) yield break;
        double span = facts.Axis.HighCode - facts.Axis.LowCode, slack = span / 100;
        bool low = facts.Axis.LowCode < ramp.LowestCode - slack, high = facts.Axis.HighCode > ramp.HighestCode + slack;
        if (low || high)
        {
            yield return new Finding(FindingName.EdgesOffRamp, FindingSeverity.Warning, 1,
                $"The edges given are codes {Say.Number(facts.Axis.LowCode)} to {Say.Number(facts.Axis.HighCode)}, but the ramp runs from {ramp.LowestCode:N0} to {ramp.HighestCode:N0} only: columns at {(low && high ? "both edges" : low ? "the low edge" : "the high edge")} never fill.",
                "Correct --edges or --ramp-volts, or give --edges=auto.");
        }
    }

    private static long Round(double codes) => (long)Math.Floor(codes / 100) is var hundreds and > 0 ? hundreds * 100 : (long)codes;
}
