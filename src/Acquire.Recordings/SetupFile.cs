using Acquire.Recordings.Setups;
using Acquire.Recordings.Sigmf;
using Acquire.Recordings.Wav;

namespace Acquire.Recordings;

/// <summary>Reads and writes setup files: a setup as JSON, docs/setup-file.md.</summary>
public static class SetupFile
{
    /// <summary>Ending of the setup file that lies beside a recording.</summary>
    public const string Extension = ".setup.json";

    private const long MostBytes = 4 << 20;

    /// <summary>Reads a setup.</summary>
    /// <param name="path">The file.</param>
    /// <exception cref="SetupFileException">The file cannot be read, is not JSON, or a member is unknown, missing or wrong.</exception>
    public static Setup Load(string path) => LoadDocument(path).Setup;

    /// <summary>Reads a setup with the list of what was guessed in it.</summary>
    /// <param name="path">The file.</param>
    /// <exception cref="SetupFileException">The file cannot be read, is not JSON, or a member is unknown, missing or wrong.</exception>
    public static SetupDocument LoadDocument(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        return SetupJsonReader.Read(ReadAll(path), path);
    }

    /// <summary>Writes a setup in which nothing was guessed; the file appears whole or not at all.</summary>
    /// <param name="path">The file.</param>
    /// <param name="setup">The setup.</param>
    /// <exception cref="SetupFileException">A value of the setup is outside its documented range.</exception>
    /// <exception cref="IOException">The file cannot be written there; the message is one line with the cure.</exception>
    public static void Save(string path, Setup setup) => Save(path, new SetupDocument(setup));

    /// <summary>Writes a setup with the list of what was guessed in it; the file appears whole or not at all.</summary>
    /// <param name="path">The file.</param>
    /// <param name="document">The setup and its guesses.</param>
    /// <exception cref="SetupFileException">A value of the setup is outside its documented range.</exception>
    /// <exception cref="IOException">The file cannot be written there; the message is one line with the cure.</exception>
    public static void Save(string path, SetupDocument document)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentNullException.ThrowIfNull(document);
        AtomicFile.WriteAllBytes(path, Encode(path, document));
    }

    /// <summary>Writes a setup with the list of what was guessed in it to a stream, whole or not at all.</summary>
    /// <param name="stream">Gets the text; not closed.</param>
    /// <param name="document">The setup and its guesses.</param>
    /// <exception cref="SetupFileException">A value of the setup is outside its documented range; nothing was written.</exception>
    public static void Write(Stream stream, SetupDocument document)
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(document);
        stream.Write(Encode("The setup", document));
    }

    /// <summary>Finds the setup file that lies beside a recording.</summary>
    /// <param name="recordingPath">NAME, NAME.sigmf-meta, NAME.sigmf-data or NAME.wav.</param>
    /// <returns>Path of NAME.setup.json, or null where there is none.</returns>
    public static string? TryFindBeside(string recordingPath)
    {
        string path = NameBeside(recordingPath);
        return File.Exists(path) ? path : null;
    }

    /// <summary>The name that the setup file beside a recording has.</summary>
    /// <param name="recordingPath">NAME, NAME.sigmf-meta, NAME.sigmf-data or NAME.wav.</param>
    public static string NameBeside(string recordingPath)
    {
        ArgumentException.ThrowIfNullOrEmpty(recordingPath);
        string name = WavRecording.IsNamed(recordingPath)
            ? recordingPath[..^WavRecording.Extension.Length]
            : SigmfRecording.NameOf(recordingPath);
        return name + Extension;
    }

    private static byte[] ReadAll(string path)
    {
        try
        {
            using var handle = FileOpening.Open(path, out long bytes, RecordingFailure.NotFound, RecordingFailure.Unreadable);
            if (bytes > MostBytes)
            {
                throw new SetupFileException(SetupFileFailure.NotJson,
                    $"{VisibleText.Whole(path)} has {bytes} bytes; a setup has at most {MostBytes}. Check that it is the setup file.");
            }

            byte[] utf8 = new byte[bytes];
            FileOpening.ReadExactly(handle, utf8, 0, path);
            return utf8;
        }
        catch (RecordingException e)
        {
            throw new SetupFileException(SetupFileFailure.Unreadable, e.Message, null, e);
        }
    }

    private static byte[] Encode(string path, SetupDocument document)
    {
        using var json = new MemoryStream();
        try
        {
            SetupJsonWriter.Write(json, document);
        }
        catch (ArgumentException e)
        {
            // JSON has no word for what is no number, and a choice may be a number without a name.
            throw new SetupFileException(SetupFileFailure.ValueWrong,
                $"{VisibleText.Whole(path)} was not written: the setup holds a value that no file can hold: {VisibleText.Of(e.Message)}", null, e);
        }

        json.WriteByte((byte)'\n');

        // What cannot be read back is not written: the rules stand in one place.
        byte[] utf8 = json.ToArray();
        _ = SetupJsonReader.Read(utf8, path);
        return utf8;
    }
}
