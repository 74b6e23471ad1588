using System.Text.Json;
using Acquire.Harness.Instrument;
using Acquire.Link;

namespace Acquire.Harness.Inspect.Link;

/// <summary>Writes what a look at link bytes shows as members of an object that is open.</summary>
internal static class LinkJson
{
    /// <summary>Frames listed where not all are asked for.</summary>
    public const int FramesListed = 1_000;

    /// <summary>Faults listed at most.</summary>
    public const int FaultsListed = 10_000;

    private const int MostHexBytes = 64;

    /// <summary>Writes the members link, frames, framesLeftOut, faults and faultsLeftOut.</summary>
    /// <param name="json">Gets them.</param>
    /// <param name="look">What was seen.</param>
    /// <param name="all">Whether every frame is listed; then the file is read once more.</param>
    /// <param name="cancel">Stops it.</param>
    public static void Write(Utf8JsonWriter json, LinkLook look, bool all, CancellationToken cancel)
    {
        Link(json, look);
        json.WriteStartArray("frames");
        long listed = 0;
        if (all)
        {
            Lister lister = new(json);
            look.File.Decode(new SilentReceiver(), lister, goOn: null, cancel);
            listed = lister.Count;
        }
        else
        {
            foreach (FrameRow row in look.Frames.Take(FramesListed))
            {
                Frame(json, row.Report, hex: null);
                listed++;
            }
        }

        json.WriteEndArray();
        json.WriteNumber("framesLeftOut", look.FrameCount - listed);
        json.WriteStartArray("faults");
        foreach (FrameRow row in look.Faults) Frame(json, row.Report, Convert.ToHexStringLower(look.File.Bytes(row.Report.Offset, Math.Min(row.Report.EncodedBytes, MostHexBytes))));
        json.WriteEndArray();
        json.WriteNumber("faultsLeftOut", look.FaultCount - look.Faults.Count);
    }

    private static void Link(Utf8JsonWriter json, LinkLook look)
    {
        json.WriteStartObject("link");
        json.WriteString("file", look.File.Path);
        json.WriteNumber("bytes", look.File.Length);
        json.WriteNumber("bytesDiscarded", look.Decoder.BytesDiscarded);
        json.WriteNumber("frames", look.FrameCount);
        json.WriteNumber("scans", look.Decoder.ScansDelivered);
        json.WriteNumber("lostScans", look.Decoder.ScansLost);
        json.WriteNumber("breaks", look.Decoder.Breaks);
        json.WriteNumber("resets", look.Decoder.Resets);
        if (look.Decoder.SentByDevice is { } sent) json.WriteNumber("sentByDevice", sent);
        if (look.Description is { } description) json.WriteString("device", description.Device);
        json.WriteStartArray("texts");
        foreach (string text in look.Texts) json.WriteStringValue(text);
        json.WriteEndArray();
        json.WriteStartObject("verdicts");
        foreach (LinkVerdict verdict in Enum.GetValues<LinkVerdict>()) json.WriteNumber(VerdictWords.Of(verdict), look.CountOf(verdict));
        json.WriteEndObject();
        json.WriteStartObject("kinds");
        foreach ((byte kind, long count) in look.Kinds) json.WriteNumber(LinkWords.Of((LinkFrameKind)kind), count);
        json.WriteEndObject();
        json.WriteStartArray("losses");
        foreach ((string cause, (long places, long scans)) in look.Losses)
        {
            json.WriteStartObject();
            json.WriteString("cause", cause);
            json.WriteNumber("places", places);
            json.WriteNumber("scans", scans);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Frame(Utf8JsonWriter json, in LinkFrameReport report, string? hex)
    {
        json.WriteStartObject();
        json.WriteNumber("offset", report.Offset);
        json.WriteNumber("bytes", report.EncodedBytes);
        json.WriteString("verdict", VerdictWords.Of(report.Verdict));
        if (report.Header is { } header)
        {
            json.WriteString("kind", LinkWords.Of(header.Kind));
            json.WriteNumber("run", header.Run);
            json.WriteNumber("sequence", header.Sequence);
            json.WriteNumber("position", header.Position);
            json.WriteNumber("scans", report.Scans);
            json.WriteNumber("lostBefore", report.LostBefore);
            json.WriteBoolean("break", report.Break);
        }

        if (hex is not null) json.WriteString("hex", hex);
        json.WriteEndObject();
    }

    private sealed class Lister(Utf8JsonWriter json) : ILinkObserver
    {
        private const int FramesPerFlush = 1_000;

        public long Count { get; private set; }

        public void Saw(in LinkFrameReport report, ReadOnlySpan<byte> encoded)
        {
            Frame(json, report, hex: null);
            if (++Count % FramesPerFlush == 0) json.Flush();
        }
    }
}
