using Acquire.Capture;

namespace Acquire.Recordings.Sigmf;

/// <summary>Our own fields; docs/acquire.sigmf-ext.md describes them.</summary>
internal static class SigmfExtension
{
    public const string Name = "acquire";

    public const string Version = "1.1.0";

    public const string Bits = "acquire:bits";

    public const string Growing = "acquire:growing";

    public const string Mark = "acquire:mark";

    public const string LostAtEnd = "acquire:lost_at_end";

    public const string LostAtEndCause = "acquire:lost_at_end_cause";

    public const string Break = "acquire:break";

    public const string Cause = "acquire:cause";

    /// <summary>Whether fields of an extension are understood here: ours, as long as no meaning was changed.</summary>
    public static bool IsKnown(string? name, string? version) =>
        string.Equals(name, Name, StringComparison.Ordinal) && version is not null && version.StartsWith("1.", StringComparison.Ordinal);

    /// <summary>Word for a cause.</summary>
    public static string WordOf(GapCause cause) => cause switch
    {
        GapCause.Overrun => "overrun",
        GapCause.Link => "link",
        GapCause.Reset => "reset",
        GapCause.Unknown => "unknown",
        _ => "file",
    };

    /// <summary>Cause of a word; a word of a later version is no known cause.</summary>
    public static GapCause? CauseOf(string word) => word switch
    {
        "overrun" => GapCause.Overrun,
        "link" => GapCause.Link,
        "reset" => GapCause.Reset,
        "unknown" => GapCause.Unknown,
        "file" => GapCause.File,
        _ => null,
    };
}
