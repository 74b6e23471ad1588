using System.Globalization;
using System.Text;
using Acquire.Harness.Instrument;
using Acquire.Harness.Output;
using Acquire.Harness.Shell;
using Acquire.Link;

namespace Acquire.Harness.Inspect.Link;

/// <summary>What a look at link bytes prints for people.</summary>
/// <param name="tables">Gets the text.</param>
internal sealed class LinkTables(PeopleTables tables)
{
    /// <summary>Frames shown where not all are asked for.</summary>
    public const int FramesShown = 20;

    /// <summary>Faults shown in hexadecimal where not all are asked for.</summary>
    public const int FaultsShown = 10;

    private const int BytesPerLine = 16;
    private const int LinesOfHead = 2;
    private const int BytesBefore = 8;

    private static readonly CultureInfo Culture = CultureInfo.InvariantCulture;

    /// <summary>Prints everything about the link.</summary>
    /// <param name="look">What was seen.</param>
    /// <param name="all">Whether every frame and every fault is listed; then the file is read once more.</param>
    /// <param name="cancel">Stops it.</param>
    public void Print(LinkLook look, bool all, CancellationToken cancel)
    {
        Head(look);
        if (look.FrameCount == 0) return;
        Counts(look);
        Losses(look);
        if (all) AllFrames(look, cancel);
        else FirstFrames(look);
        Faults(look, all);
    }

    private void Head(LinkLook look)
    {
        tables.Line(look.File.Path);
        tables.Line($"  {Whole(look.File.Length)} bytes, {Say.Count(look.FrameCount, "frame", "frames")}, {Whole(look.Decoder.ScansDelivered)} scans, {Whole(look.Decoder.ScansLost)} lost, "
            + $"{Say.Count(look.Decoder.Breaks, "break", "breaks")}, {Say.Count(look.Decoder.Resets, "reset", "resets")}");
        if (look.Description is { Device.Length: > 0 } description) tables.Line($"  The device calls itself: {VisibleText.Of(description.Device, VisibleText.LongestWords)}");
        if (look.DescriptionChanges) tables.Line("  It describes its scans otherwise later on; what follows is about the first ones.");
        foreach (string text in look.Texts) tables.Line($"  It says: {VisibleText.Of(text, VisibleText.LongestWords)}");
        if (look.TextCount > look.Texts.Count) tables.Line($"  ... and {Whole(look.TextCount - look.Texts.Count)} more texts");
        tables.Line("");
    }

    private void Counts(LinkLook look)
    {
        tables.Table("What became of the frames", ["verdict", ">frames", ">bytes", "means"],
            Enum.GetValues<LinkVerdict>().Where(v => look.CountOf(v) > 0).Select(v => new[] { VerdictWords.Of(v), Whole(look.CountOf(v)), Whole(look.BytesOf(v)), VerdictWords.MeaningOf(v) }));
        if (look.Kinds.Count > 0)
            tables.Table("Kinds of sound frames", ["kind", ">frames"], look.Kinds.Select(k => new[] { LinkWords.Of((LinkFrameKind)k.Key), Whole(k.Value) }));
    }

    private void Losses(LinkLook look)
    {
        if (look.Losses.Count == 0) return;
        tables.Table("Where scans are missing", ["cause", ">places", ">scans"],
            look.Losses.Select(l => new[] { l.Key, Whole(l.Value.Places), l.Key.EndsWith(')') ? $"at least {Whole(l.Value.Scans)}" : Whole(l.Value.Scans) }));
    }

    private void FirstFrames(LinkLook look)
    {
        // A list that is only a little too long is shown whole.
        int shown = look.FrameCount <= FramesShown + 3 ? FramesShown + 3 : FramesShown;
        List<string[]> rows = [.. look.Frames.Take(shown).Select(Row)];
        tables.Table("Frames", [">offset", "kind", ">bytes", ">number", ">position", ">scans", "verdict", ""], rows);
        if (look.FrameCount <= rows.Count) return;
        tables.Line($"  {Whole(look.FrameCount - rows.Count)} more; --frames all lists them");
        tables.Line("");
    }

    private void AllFrames(LinkLook look, CancellationToken cancel)
    {
        tables.Line("Frames");
        tables.Line(string.Create(Culture, $"  {"offset",12}  {"kind",-12} {"bytes",6} {"number",10} {"position",14} {"scans",6}  verdict"));
        look.File.Decode(new SilentReceiver(), new Printer(tables), goOn: null, cancel);
        tables.Line("");
    }

    private void Faults(LinkLook look, bool all)
    {
        if (look.FaultCount == 0) return;
        int most = all ? int.MaxValue : FaultsShown;
        tables.Line("Bytes around each fault");
        int shown = 0;
        foreach (FrameRow row in look.Faults.Take(most))
        {
            shown++;
            LinkFrameReport report = row.Report;
            tables.Line($"  byte {Whole(report.Offset)}, {Whole(report.EncodedBytes)} bytes, {VerdictWords.Of(report.Verdict)}: {VerdictWords.MeaningOf(report.Verdict)}");
            foreach (string line in Hex(look.File, report)) tables.Line("    " + line);
        }

        if (look.FaultCount > shown) tables.Line($"  {Whole(look.FaultCount - shown)} more{(all ? "" : "; --frames all lists them")}");
        tables.Line("");
    }

    /// <summary>Bytes before a piece, its first and last ones, its delimiter and what follows on it, in hexadecimal with their offsets.</summary>
    public static IEnumerable<string> Hex(LinkFile file, LinkFrameReport report)
    {
        long begin = report.Offset - BytesBefore, end = report.Offset + report.EncodedBytes + 1 + BytesBefore;
        long at = begin;
        for (int line = 0; line < LinesOfHead && at < end; line++, at += BytesPerLine) yield return Line(file, at, end);
        if (at >= end) yield break;
        long tail = end - BytesPerLine;
        if (tail > at) yield return $"            ... {Whole(tail - at)} bytes ...";
        yield return Line(file, Math.Max(at, tail), end);
    }

    private static string Line(LinkFile file, long from, long end)
    {
        long first = Math.Max(0, from);
        byte[] bytes = file.Bytes(first, (int)Math.Min(BytesPerLine - (first - from), end - first));
        StringBuilder line = new(string.Create(Culture, $"{first,10} "));
        foreach (byte value in bytes) line.Append(Culture, $" {value:x2}");
        return line.ToString();
    }

    private static string[] Row(FrameRow row)
    {
        LinkFrameReport report = row.Report;
        return
        [
            Whole(report.Offset), report.Header is { } header ? LinkWords.Of(header.Kind) : "-", Whole(report.EncodedBytes),
            report.Header is { } h ? Whole(h.Sequence) : "-", report.Header is { } p ? p.Position.ToString("N0", Culture) : "-", Whole(report.Scans),
            VerdictWords.Of(report.Verdict), Before(report),
        ];
    }

    private static string Before(in LinkFrameReport report) =>
        report.Break ? "an unknown number of scans is missing before it" : report.LostBefore > 0 ? $"{Whole(report.LostBefore)} scans missing before it" : "";

    private static string Whole(long value) => value.ToString("N0", Culture);

    private sealed class Printer(PeopleTables tables) : ILinkObserver
    {
        public void Saw(in LinkFrameReport report, ReadOnlySpan<byte> encoded)
        {
            string kind = report.Header is { } header ? LinkWords.Of(header.Kind) : "-";
            string number = report.Header is { } h ? Whole(h.Sequence) : "-", position = report.Header is { } p ? p.Position.ToString("N0", Culture) : "-";
            string line = string.Create(Culture,
                $"  {Whole(report.Offset),12}  {kind,-12} {Whole(report.EncodedBytes),6} {number,10} {position,14} {Whole(report.Scans),6}  {VerdictWords.Of(report.Verdict)}  {Before(report)}");
            tables.Line(line.TrimEnd());
        }
    }
}
