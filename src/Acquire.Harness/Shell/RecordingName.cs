using Acquire.Recordings;

namespace Acquire.Harness.Shell;

/// <summary>The name of a recording that is to be written.</summary>
internal static class RecordingName
{
    /// <summary>The name without an ending.</summary>
    /// <param name="option">Option that gave it, for messages.</param>
    /// <param name="text">As given, perhaps with the ending of one of its files.</param>
    /// <exception cref="CommandFailure">It is none.</exception>
    public static string Of(string option, string text)
    {
        if (text.Length == 0 || text is OutputFile.Standard) throw CommandFailure.Usage(option, "a recording is two files; give them a name");
        string name = SetupFile.NameBeside(text)[..^SetupFile.Extension.Length];
        return Path.GetFileName(name).Length > 0 ? name : throw CommandFailure.Usage(option, $"{text} is a folder; give a name inside it");
    }
}
