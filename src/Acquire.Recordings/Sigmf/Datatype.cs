using Acquire.Recordings.Words;

namespace Acquire.Recordings.Sigmf;

/// <summary>Reads the name of a dataset's words.</summary>
internal static class Datatype
{
    /// <summary>Reads a name such as ru16_le.</summary>
    /// <param name="text">The field core:datatype.</param>
    /// <param name="file">Name of the metadata file, for messages.</param>
    /// <param name="notes">Gets a note where the name is wrong but clear.</param>
    /// <exception cref="RecordingException">The words are complex, or the name is none of the format.</exception>
    public static WordFormat Parse(string text, string file, List<string> notes)
    {
        if (text.StartsWith('c') && IsBody(text[1..].Split('_')[0]))
        {
            throw new RecordingException(RecordingFailure.ComplexWords,
                $"{VisibleText.Whole(file)}: core:datatype is {VisibleText.Of(text)}, complex numbers; a ramp and a vertical are real. Record or export real words (r...).");
        }

        string[] parts = text.Split('_');
        string name = parts[0];
        if (!name.StartsWith('r') || !IsBody(name[1..])) throw Unknown(text, file);
        WordKind kind = name[1] switch { 'u' => WordKind.Unsigned, 'i' => WordKind.Signed, _ => WordKind.Float };
        int bytes = int.Parse(name.AsSpan(2)) / 8;
        if (bytes == 1 && parts.Length == 1) return new WordFormat(kind, 1, BigEndian: false);
        if (parts.Length == 1)
        {
            throw new RecordingException(RecordingFailure.UnknownWords,
                $"{VisibleText.Whole(file)}: core:datatype is {text}, without a byte order; write {text}_le (low byte first) or {text}_be.");
        }

        if (parts.Length != 2 || parts[1] is not ("le" or "be")) throw Unknown(text, file);
        if (bytes == 1) notes.Add($"core:datatype is {text}; words of one byte have no byte order, which is left out.");
        return new WordFormat(kind, bytes, bytes > 1 && parts[1] is "be");
    }

    private static bool IsBody(string body) =>
        body is "f32" or "f64" or "i32" or "i16" or "u32" or "u16" or "i8" or "u8";

    private static RecordingException Unknown(string text, string file) =>
        new(RecordingFailure.UnknownWords,
            $"{VisibleText.Whole(file)}: core:datatype is \"{VisibleText.Of(text)}\"; it must be ri8, ru8 or one of ri16 ru16 ri32 ru32 rf32 rf64 followed by _le or _be. Correct it.");
}
