using Acquire.Capture;
using Acquire.Harness.Inspect.Survey;

namespace Acquire.Harness.Inspect.Findings;

/// <summary>Findings about the stream itself: the file, gaps, bits, lines that carry no picture.</summary>
internal static class StreamFindings
{
    /// <summary>Draws them.</summary>
    public static IEnumerable<Finding> Of(InspectionFacts facts) =>
        File(facts).Concat(Missing(facts)).Concat(Bits(facts)).Concat(Blanking(facts));

    private static IEnumerable<Finding> File(InspectionFacts facts)
    {
        RecordingFacts recording = facts.Recording;
        if (recording.Truncated)
        {
            yield return new Finding(FindingName.RecordingTruncated, FindingSeverity.Warning, 1,
                "The file ends before its time: within a scan, or before what it says itself of its length or its segments.",
                "What is there is used. Was the disk full, or the copy cut short? Compare its length with the original's.", facts.Scans);
        }

        if (recording.NotANumber > 0)
        {
            yield return new Finding(FindingName.NotANumber, FindingSeverity.Warning, recording.NotANumber,
                $"{Say.Count(recording.NotANumber, "value is", "values are")} not a number.",
                "Whatever wrote the file marked missing readings that way; write gaps as capture segments instead, so that they are counted.",
                FirstNotANumber(facts));
        }

        if (facts.Setup.Scan.ScanRateHz is null)
        {
            yield return new Finding(FindingName.ScanRateUnknown, FindingSeverity.Note, 1,
                "Nothing says how many scans a second there are: times are given in scans, and mains hum cannot be told from other waves.",
                "Write core:sample_rate into the recording's metadata, or the scan rate into the setup.");
        }
    }

    private static IEnumerable<Finding> Missing(InspectionFacts facts)
    {
        if (facts.GapCount > 0)
        {
            GapRow first = facts.Gaps.FirstOrDefault(g => g.LostScans is not null);
            yield return new Finding(FindingName.Gaps, FindingSeverity.Warning, facts.GapCount,
                $"{Say.Count(facts.Accounting.Lost, "scan is", "scans are")} missing in {Say.Count(facts.GapCount, "gap", "gaps")}; "
                + $"{Say.Count(facts.Sweeps.Ended(Acquire.Sweeps.SweepEnd.Gap), "sweep was", "sweeps were")} cut by one.",
                CureOf(first.Cause), first.AtScan);
        }

        if (facts.BreakCount > 0)
        {
            GapRow first = facts.Gaps.FirstOrDefault(g => g.LostScans is null);
            yield return new Finding(FindingName.Breaks, FindingSeverity.Warning, facts.BreakCount,
                $"An unknown number of scans is missing at {Say.Count(facts.BreakCount, "place", "places")}; "
                + $"{Say.Count(facts.Sweeps.Ended(Acquire.Sweeps.SweepEnd.Break), "sweep was", "sweeps were")} cut by one.",
                first.Cause == GapCause.Reset
                    ? "The device started anew: check its supply and its watchdog."
                    : "Let the source number its scans, so that losses are counted; where a file's own index goes back, look at what wrote or joined it.", first.AtScan);
        }
    }

    private static string CureOf(GapCause cause) => cause switch
    {
        GapCause.Overrun => "The consumer was late: take larger halves, fewer channels or a lower scan rate.",
        GapCause.Link => "Frames were lost on the link: lower the scan rate, raise the link's speed, check cable and ground.",
        _ => "They were missing when the recording was made: look at what wrote it.",
    };

    private static bool IsNotANumber(InspectionFacts facts) =>
        facts.Recording.NotANumber > 0 && facts.Channels.Sum(c => c.InvalidCodes) <= facts.Recording.NotANumber;

    // Where there is a code for it, the survey knows the scan; else the piece of the file in which it was met.
    private static long FirstNotANumber(InspectionFacts facts) => IsNotANumber(facts)
        ? facts.Channels.Where(c => c.InvalidCodes > 0).Select(c => c.FirstInvalidScan).DefaultIfEmpty(facts.Recording.FirstNotANumber).Min()
        : facts.Recording.FirstNotANumber;

    private static IEnumerable<Finding> Bits(InspectionFacts facts)
    {
        int bits = facts.Setup.Scan.Bits, full = facts.Setup.Scan.FullCode;
        ChannelReport[] bad = [.. facts.Channels.Where(c => c.InvalidCodes > 0)];
        // What is not a number has a code above all others, and a finding of its own.
        if (bad.Length > 0 && !IsNotANumber(facts))
        {
            int highest = bad.Max(c => c.HighestOfAll), needed = 32 - int.LeadingZeroCount(highest);
            yield return new Finding(FindingName.CodesBeyondBits, FindingSeverity.Error, bad.Sum(c => c.InvalidCodes),
                $"Codes go up to {highest:N0}, but {bits} bits end at {full:N0}; such scans are left out of the picture "
                + $"({string.Join(", ", bad.Select(c => $"channel {c.Channel}: {Say.Share((double)c.InvalidCodes / (c.ValidCodes + c.InvalidCodes))}"))}).",
                $"If many: the codes have more bits, give --bits {needed}. If few: bytes were lost or swapped on the way.",
                bad.Min(c => c.FirstInvalidScan));
            yield break;
        }

        ChannelReport[] moving = [.. facts.Channels.Where(c => c.DistinctCodes >= 16)];
        if (moving.Length == 0) yield break;
        int steady = moving.Min(c => c.SteadyLowBits), top = moving.Max(c => c.HighestCode);
        if (steady > 0)
        {
            yield return new Finding(FindingName.BitsUnused, FindingSeverity.Note, steady,
                $"The lowest {Say.Count(steady, "bit", "bits")} of every code {(steady == 1 ? "is" : "are")} always the same: of {bits} bits, {bits - steady} carry a reading.",
                "The codes are probably left-aligned in their words; shift them before they are recorded. Nothing is wrong with the picture.");
        }
        else if (top <= full / 2)
        {
            int needed = 32 - int.LeadingZeroCount(top);
            yield return new Finding(FindingName.BitsUnused, FindingSeverity.Note, bits - needed,
                $"No code of any channel is above {top:N0}, less than half of the full code {full:N0}.",
                $"If the converter has {needed} bits, give --bits {needed}; otherwise amplify, since half of the range lies idle.");
        }
    }

    private static IEnumerable<Finding> Blanking(InspectionFacts facts)
    {
        int blanking = facts.Setup.Scan.BlankingChannel;
        if (blanking >= 0)
        {
            ChannelReport line = facts.Channels[blanking];
            if (line.Still)
            {
                yield return new Finding(FindingName.BlankingFlat, FindingSeverity.Warning, 1,
                    $"Channel {blanking}, the blanking line, never changes (code {line.LowestCode:N0}{(line.HighestCode > line.LowestCode ? $" to {line.HighestCode:N0}" : "")}).",
                    "Check its lead and its divider, or give the channel the role auxiliary in the setup.");
            }

            yield break;
        }

        foreach (ChannelReport channel in facts.Channels)
        {
            if (channel.LikelyRole != ChannelRole.Blanking || channel.Role == ChannelRole.Ramp) continue;
            yield return new Finding(FindingName.BlankingFound, FindingSeverity.Note, 1,
                $"Channel {channel.Channel} has the role {Role(channel.Role)} and looks like a blanking line: it {channel.Reason}.",
                "If it is one, give it the role blanking in the setup: the ends of sweeps become exact.");
        }
    }

    /// <summary>A role in lower case.</summary>
    public static string Role(ChannelRole role) => role switch
    {
        ChannelRole.Ramp => "ramp",
        ChannelRole.Vertical => "vertical",
        ChannelRole.Blanking => "blanking",
        _ => "auxiliary",
    };
}
