using Acquire.Harness.Inspect.Findings;
using Acquire.Link;

namespace Acquire.Harness.Inspect.Link;

/// <summary>Findings about the link itself.</summary>
internal static class LinkFindings
{
    // Where every tenth frame is damaged no sweep of usual length comes through whole.
    private const double GraveShare = 0.1;

    /// <summary>Draws them.</summary>
    public static IEnumerable<Finding> Of(LinkLook look)
    {
        if (look.CountOf(LinkVerdict.Accepted) == 0)
        {
            yield return NoFrames(look);
            yield break;
        }

        if (look.DamagedCount > 0)
        {
            double share = (double)look.DamagedCount / look.FrameCount;
            yield return new Finding(FindingName.LinkDamaged, share >= GraveShare ? FindingSeverity.Error : FindingSeverity.Warning, look.DamagedCount,
                $"{Say.Count(look.DamagedCount, "piece between delimiters is", "pieces between delimiters are")} no sound frame ({Say.Share(share)} of all), the first at byte {look.FirstDamage:N0}.",
                CureOf(look));
        }

        long repeats = look.CountOf(LinkVerdict.Duplicate) + look.CountOf(LinkVerdict.Late);
        if (repeats > 0)
        {
            yield return new Finding(FindingName.LinkRepeats, FindingSeverity.Warning, repeats,
                $"{Say.Count(look.CountOf(LinkVerdict.Duplicate), "frame", "frames")} came twice and {Say.Count(look.CountOf(LinkVerdict.Late), "frame", "frames")} after their place had passed.",
                "A wire does not do that: look for a bridge, a retry or two writers on the way. Late frames count as lost.");
        }

        if (look.Decoder.Resets > 0)
        {
            yield return new Finding(FindingName.LinkResets, FindingSeverity.Warning, look.Decoder.Resets,
                $"The device started anew {Say.Count(look.Decoder.Resets, "time", "times")}; how many scans are missing there nobody knows.",
                "Check its supply and its watchdog, and whether something opens the port or moves its lines meanwhile.");
        }

        long unknown = look.CountOf(LinkVerdict.UnknownKind) + look.CountOf(LinkVerdict.UnknownMajor);
        if (unknown > 0)
        {
            yield return new Finding(FindingName.LinkUnknown, look.CountOf(LinkVerdict.UnknownMajor) > 0 ? FindingSeverity.Error : FindingSeverity.Note, unknown,
                $"{Say.Count(unknown, "frame is", "frames are")} of a kind or version that is not known here.",
                "The device speaks a later version: use a version of this program as new. Kinds that are not known are passed over; another major version cannot be read.");
        }

        if (look.Decoder.SentByDevice is { } sent && look.Decoder is { Resets: 0, Breaks: 0 } && (long)sent != look.Decoder.ScansDelivered + look.Decoder.ScansLost)
        {
            yield return new Finding(FindingName.LinkTotalDiffers, FindingSeverity.Note, 1,
                $"The device says at its end that it sent {sent:N0} scans; {look.Decoder.ScansDelivered:N0} came and {look.Decoder.ScansLost:N0} are known to be missing.",
                "The listening began after the device did, or the device loses scans that it does not count: compare the first position with 0.");
        }
    }

    private static Finding NoFrames(LinkLook look) => new(FindingName.LinkNoFrames, FindingSeverity.Error, 1,
        $"Of {look.File.Length:N0} bytes none belongs to a sound frame"
        + (look.CountOf(LinkVerdict.TooLong) > 0 || look.FrameCount <= 1 ? "; there is hardly a delimiter in them." : "."),
        look.CountOf(LinkVerdict.UnknownMajor) > 0
            ? "The device speaks another major version of the protocol."
            : "Is the rate that of the device? Does it speak the link protocol at all? Text lines and bare words need ?decoder=lines or ?decoder=words behind the source.");

    private static string CureOf(LinkLook look)
    {
        long lengths = look.CountOf(LinkVerdict.TooShort) + look.CountOf(LinkVerdict.TooLong) + look.CountOf(LinkVerdict.Stuffing);
        return lengths > look.DamagedCount / 2
            ? "Mostly bytes are missing or added: a rate that is a little off, a receiver that is overrun, or a line that adds characters of its own (set it raw)."
            : "Mostly single bytes are changed: look at cable length, ground and edges, or lower the rate; smaller frames lose less with each.";
    }
}
