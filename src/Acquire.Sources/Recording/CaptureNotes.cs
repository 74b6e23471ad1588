using System.Globalization;
using System.Text;
using Acquire.Capture;
using Acquire.Recordings;

namespace Acquire.Sources.Recording;

/// <summary>What a capture says for people: gaps, breaks, the device's words, marks. Kept until the scan is there that it is said of.</summary>
internal sealed class CaptureNotes
{
    /// <summary>Label of what the device said.</summary>
    public const string DeviceLabel = "device";

    private const int LongestText = 2_000;
    private const int CharactersAround = 120;
    private const string BeforeThis = "missing before this one: ";

    private readonly List<RecordingAnnotation> _waiting = [];

    /// <summary>The word that holds, or null.</summary>
    public ushort? LastMark { get; private set; }

    /// <summary>About how long the annotations of this recording are in its metadata.</summary>
    public long CharactersWritten { get; private set; }

    /// <summary>A new recording begins: what holds is said again.</summary>
    public void Begin()
    {
        CharactersWritten = 0;
        if (LastMark is { } mark && !_waiting.Exists(note => note.Mark is not null)) AddMark(mark);
    }

    public void Add(string label, string text) => _waiting.Add(new RecordingAnnotation(0, Label: label, Comment: Fit(text)));

    public void AddGap(long lostScans, GapCause cause) =>
        Add("gap", string.Create(CultureInfo.InvariantCulture, $"{lostScans} {(lostScans == 1 ? "scan is" : "scans are")} {BeforeThis}{Word(cause)}."));

    public void AddBreak(GapCause cause, long atLeast)
    {
        string count = atLeast == 0 ? "An unknown number of scans is" : string.Create(CultureInfo.InvariantCulture, $"At least {atLeast} {(atLeast == 1 ? "scan is" : "scans are")}");
        Add("break", $"{count} {BeforeThis}{Word(cause)}.");
    }

    public void AddMark(ushort word)
    {
        LastMark = word;
        _waiting.Add(new RecordingAnnotation(0, Label: "mark", Comment: string.Create(CultureInfo.InvariantCulture, $"Auxiliary word {word} (0x{word:x4}) from here on."), Mark: word));
    }

    /// <summary>No word holds any more: it was said of scans before a break, and of those behind it nobody has said any.</summary>
    public void EndMark()
    {
        LastMark = null;
        _waiting.RemoveAll(note => note.Mark is not null);
    }

    /// <summary>Everything that waits is said of one scan.</summary>
    public void WriteTo(RecordingWriter writer, long scan)
    {
        if (_waiting.Count == 0) return;
        foreach (RecordingAnnotation note in _waiting) Write(writer, note, scan);
        _waiting.Clear();
    }

    /// <summary>No scan comes any more: what waits is said of the last one, behind which it happened.</summary>
    public void WriteToLast(RecordingWriter writer)
    {
        for (int i = 0; i < _waiting.Count; i++)
            if (_waiting[i] is { Label: "gap" or "break" } loss) _waiting[i] = loss with { Comment = loss.Comment!.Replace(BeforeThis, "missing after this one: ", StringComparison.Ordinal) };
        WriteTo(writer, Math.Max(0, writer.ScanCount - 1));
    }

    /// <summary>The device's words do not wait for the next scan: they are said of the last one.</summary>
    public void WriteTextsTo(RecordingWriter writer)
    {
        if (_waiting.Count == 0 || writer.ScanCount == 0) return;
        foreach (RecordingAnnotation note in _waiting.Where(IsText)) Write(writer, note, writer.ScanCount - 1);
        _waiting.RemoveAll(IsText);
    }

    /// <summary>Text of a device as metadata can hold it: not without end, and no half of a character.</summary>
    public static string Fit(string text)
    {
        string whole = Encoding.UTF8.GetString(Encoding.UTF8.GetBytes(text.Length <= LongestText ? text : text[..LongestText]));
        return text.Length <= LongestText ? whole : whole + " ...";
    }

    private static bool IsText(RecordingAnnotation note) => string.Equals(note.Label, DeviceLabel, StringComparison.Ordinal);

    private void Write(RecordingWriter writer, RecordingAnnotation note, long scan)
    {
        writer.Annotate(note with { StartScan = scan, ScanCount = 1 });
        CharactersWritten += CharactersAround + note.Comment!.Length;
    }

    private static string Word(GapCause cause) => cause switch
    {
        GapCause.Overrun => "overrun of the device",
        GapCause.Link => "lost on the link",
        GapCause.File => "missing in the file",
        GapCause.Reset => "the device started anew",
        _ => "cause unknown",
    };
}
