using Acquire.Recordings;

namespace Acquire;

/// <summary>Keeps a recording that is still being written from being replaced: its writer would go on into a file that nobody can find.</summary>
/// <remarks>Compiled into every room that replaces recordings.</remarks>
internal static class OtherCapture
{
    /// <summary>Refuses a name under which another program records at this moment.</summary>
    /// <param name="name">Name of a recording, without an ending.</param>
    /// <exception cref="RecordingException">The recording there is not ended, and somebody has its dataset open.</exception>
    public static void Refuse(string name)
    {
        if (!IsUnfinished(name) || !IsOpen(name + ".sigmf-data")) return;
        throw new RecordingException(RecordingFailure.NotWritable,
            $"{VisibleText.Whole(name)} is being recorded by another program. End that one, or give another name.");
    }

    // What a killed process left is not ended either, and may be replaced: nobody has it open.
    private static bool IsUnfinished(string name)
    {
        try
        {
            using RecordingReader reader = RecordingReader.Open(name);
            return reader.IsUnfinished;
        }
        catch (IOException)
        {
            // Nothing is there, or nothing that is being recorded.
            return false;
        }
    }

    private static bool IsOpen(string path)
    {
        try
        {
            using var alone = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.None);
            return false;
        }
        catch (IOException exception)
        {
            return exception is not FileNotFoundException;
        }
        catch (UnauthorizedAccessException)
        {
            // Whoever writes says why it cannot.
            return false;
        }
    }
}
