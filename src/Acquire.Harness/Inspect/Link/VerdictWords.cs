using Acquire.Link;

namespace Acquire.Harness.Inspect.Link;

/// <summary>What verdicts are called, and what each usually means.</summary>
internal static class VerdictWords
{
    /// <summary>Word in tables and JSON.</summary>
    public static string Of(LinkVerdict verdict) => verdict switch
    {
        LinkVerdict.Accepted => "accepted",
        LinkVerdict.UnknownKind => "unknown-kind",
        LinkVerdict.UnknownMajor => "unknown-version",
        LinkVerdict.Duplicate => "duplicate",
        LinkVerdict.Late => "late",
        LinkVerdict.Contents => "contents",
        LinkVerdict.Length => "length",
        LinkVerdict.Crc => "crc",
        LinkVerdict.Sum => "sum",
        LinkVerdict.Stuffing => "stuffing",
        LinkVerdict.TooShort => "too-short",
        LinkVerdict.TooLong => "too-long",
        LinkVerdict.Joined => "joined",
        _ => "cut-off",
    };

    /// <summary>What it usually means, in a few words.</summary>
    public static string MeaningOf(LinkVerdict verdict) => verdict switch
    {
        LinkVerdict.Accepted => "sound, used",
        LinkVerdict.UnknownKind => "sound, of a kind that a later version knows",
        LinkVerdict.UnknownMajor => "sound, of a version that is not read here",
        LinkVerdict.Duplicate => "came before",
        LinkVerdict.Late => "came after its place had passed",
        LinkVerdict.Contents => "sound, but says what cannot be",
        LinkVerdict.Length => "sound, but of another length than it says",
        LinkVerdict.Crc => "bytes changed, lost or added",
        LinkVerdict.Sum => "bytes changed so that the CRC did not see it",
        LinkVerdict.Stuffing => "bytes changed, lost or added: its stuffing leads nowhere",
        LinkVerdict.TooShort => "a zero byte that is no delimiter, or a frame cut into two",
        LinkVerdict.TooLong => "delimiters lost, or no frames at all: a wrong rate",
        LinkVerdict.Joined => "the listening began within it",
        _ => "the file ends within it",
    };
}
