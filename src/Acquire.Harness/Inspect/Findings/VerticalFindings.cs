using Acquire.Harness.Inspect.Spectra;
using Acquire.Harness.Inspect.Survey;

namespace Acquire.Harness.Inspect.Findings;

/// <summary>Findings about the verticals.</summary>
internal static class VerticalFindings
{
    /// <summary>Amplitude from which hum counts, in codes: a thousandth of the screen's height, or one code.</summary>
    public static double LeastHumCodes(InspectionFacts facts) => Math.Max(1, facts.UsedFullCode / 1_000.0);

    /// <summary>Draws them.</summary>
    public static IEnumerable<Finding> Of(InspectionFacts facts)
    {
        IReadOnlyList<int> channels = facts.Setup.Scan.VerticalChannels;
        for (int v = 0; v < channels.Count; v++)
        {
            ChannelReport channel = facts.Channels[channels[v]];
            foreach (Finding finding in Range(facts, channel, v)) yield return finding;
            if (facts.Close is not { } close || v >= close.Verticals.Count) continue;
            foreach (Finding finding in Hum(facts, close, v)) yield return finding;
            foreach (Finding finding in Flyback(facts, close, channel, v)) yield return finding;
        }
    }

    private static IEnumerable<Finding> Range(InspectionFacts facts, ChannelReport channel, int vertical)
    {
        int full = facts.UsedFullCode;
        long stays = channel.LowRail.Stays + channel.HighRail.Stays, inStays = channel.LowRail.ScansInStays + channel.HighRail.ScansInStays;
        bool flat = channel.Still || channel.UsualRangeCodes <= full / 200.0;
        if (flat)
        {
            yield return new Finding(FindingName.VerticalFlat, FindingSeverity.Warning, 1,
                $"Channel {channel.Channel}, a vertical, hardly moves: {Say.VerticalCodes(channel.UsualRangeCodes, vertical, facts.Setup)} about code {Say.Number(channel.MeanCode)}.",
                "A terminated input looks like that; otherwise check the lead and that the range fits the instrument's vertical output.");
        }

        // One scan in a thousand is one column of a thousand.
        if (stays > 0 && inStays >= channel.ValidCodes / 1_000.0)
        {
            string where = channel.LowRail.Stays > 0 && channel.HighRail.Stays > 0 ? $"code 0 and the full code {full:N0}"
                : channel.LowRail.Stays > 0 ? "code 0" : $"the full code {full:N0}";
            long low = channel.LowRail.FirstStay, high = channel.HighRail.FirstStay;
            yield return new Finding(FindingName.VerticalClipped, FindingSeverity.Warning, stays,
                $"Channel {channel.Channel}, a vertical, runs into {where} and stays there, {Say.Share((double)inStays / channel.ValidCodes)} of all scans.",
                "Readings at a rail are not to be trusted: divide or shift the vertical so that top and bottom of the screen lie inside the range.",
                low < 0 ? high : high < 0 ? low : Math.Min(low, high));
        }
    }

    private static IEnumerable<Finding> Hum(InspectionFacts facts, CloseLook close, int vertical)
    {
        foreach (SpectralLine line in close.Verticals[vertical].LinesAcrossSweeps)
        {
            if (line.Amplitude < LeastHumCodes(facts)) continue;
            (double Hertz, int Multiple)? mains = facts.Setup.Scan.ScanRateHz is { } rate ? Mains.Of(line.CyclesPerScan * rate) : null;
            string what = mains is { } found ? found.Multiple == 1 ? "the mains" : $"{found.Multiple} times the mains" : "not a low multiple of the mains, as far as is known";
            yield return new Finding(FindingName.VerticalHum, mains is null ? FindingSeverity.Note : FindingSeverity.Warning, close.Sweeps,
                $"Channel {close.Verticals[vertical].Channel} carries a wave of {Say.VerticalCodes(line.Amplitude, vertical, facts.Setup)} peak at {Say.Frequency(line.CyclesPerScan, facts.Setup)} ({what}) that does not repeat with the sweep.",
                mains is null
                    ? "Interference, or a signal that is modulated: see whether it stays with the input terminated."
                    : "Break the ground loop, use shielded leads, or average: it does not stand still in the picture.", close.StartScan);
            yield break;
        }
    }

    private static IEnumerable<Finding> Flyback(InspectionFacts facts, CloseLook close, ChannelReport channel, int vertical)
    {
        (double squared, long scans, double spread) = close.Verticals[vertical].Retrace;
        if (scans < 50 || squared < 0.5 || spread < Math.Max(4 * channel.NoiseCodes, facts.UsedFullCode / 200.0)) yield break;
        yield return new Finding(FindingName.VerticalFollowsFlyback, FindingSeverity.Note, scans,
            $"Channel {channel.Channel} draws its sweep backwards during the retrace (squared correlation {Say.Number(squared, 2)} over {scans:N0} scans): its output goes on then, whether the beam is on or off.",
            "Nothing to do: retraces reach no column. It tells how fast the instrument can be swept.", close.StartScan);
    }
}
