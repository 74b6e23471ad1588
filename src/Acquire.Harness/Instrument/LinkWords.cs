using Acquire.Link;

namespace Acquire.Harness.Instrument;

/// <summary>What parts of the link protocol are called in tables and JSON.</summary>
internal static class LinkWords
{
    /// <summary>Word for a kind; kinds of later versions by their number.</summary>
    public static string Of(LinkFrameKind kind) => kind switch
    {
        LinkFrameKind.Description => "description",
        LinkFrameKind.Scans16 => "scans-16",
        LinkFrameKind.Scans12 => "scans-12",
        LinkFrameKind.Word => "word",
        LinkFrameKind.Overrun => "overrun",
        LinkFrameKind.Text => "text",
        LinkFrameKind.End => "end",
        _ => $"kind-{(byte)kind}",
    };
}
