using Acquire.Recordings;

namespace Acquire.Harness.Shell;

/// <summary>Where one output goes: standard output, or a file that appears whole under its name or not at all.</summary>
internal sealed class OutputFile : IDisposable
{
    /// <summary>The name that means standard output.</summary>
    public const string Standard = "-";

    private readonly AtomicFile? _file;
    private readonly Stream _stream;

    private OutputFile(string path, AtomicFile? file, Stream stream)
    {
        Path = path;
        _file = file;
        _stream = stream;
    }

    /// <summary>The file's name as given.</summary>
    public string Path { get; }

    /// <summary>Gets the bytes.</summary>
    public Stream Stream => _stream;

    /// <summary>Opens an output.</summary>
    /// <param name="path">File name, or - for standard output.</param>
    /// <exception cref="CommandFailure">The file cannot be written.</exception>
    public static OutputFile Open(string path)
    {
        if (path is Standard) return new OutputFile(path, null, new BufferedStream(new StandardOutput(), 64 * 1024));
        if (path.EndsWith(Inspect.Link.LinkFile.Extension, StringComparison.Ordinal)) RefuseOpen(path);
        AtomicFile file = AtomicFile.Create(path);
        return new OutputFile(path, file, file.Stream);
    }

    /// <summary>Refuses a file that another program has open, as one that keeps the bytes of a link does: replaced, it would be written on where nobody can find it.</summary>
    /// <param name="path">Name of a file that may be there.</param>
    /// <exception cref="CommandFailure">Another program has it open.</exception>
    public static void RefuseOpen(string path)
    {
        if (!File.Exists(path)) return;
        try
        {
            new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.None).Dispose();
        }
        catch (IOException exception)
        {
            throw CommandFailure.Unreadable(path, "another program has it open; end that one, or give another name", exception);
        }
        catch (UnauthorizedAccessException)
        {
            // Whoever writes says why it cannot.
        }
    }

    /// <summary>The output is whole: it gets its name.</summary>
    public void Commit()
    {
        _stream.Flush();
        _file?.Commit();
    }

    /// <summary>Takes away what was not committed.</summary>
    public void Dispose()
    {
        _file?.Dispose();
        _stream.Dispose();
    }
}
