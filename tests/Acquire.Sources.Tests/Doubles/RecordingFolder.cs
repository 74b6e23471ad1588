using Acquire.Recordings;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>A folder of its own for one test; copies recordings out of it as a kill at that moment would leave them.</summary>
internal sealed class RecordingFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("acquire-").FullName;

    public IEnumerable<string> Names => Directory.GetFileSystemEntries(Path).Select(e => System.IO.Path.GetFileName(e)!).Order(StringComparer.Ordinal);

    public string File(string name) => System.IO.Path.Combine(Path, name);

    /// <summary>What a process killed now would leave of a recording.</summary>
    public RecordingReader OpenAsKilled(string name)
    {
        string copy = File("copy/" + name);
        Directory.CreateDirectory(File("copy"));
        foreach (string ending in (string[])[".sigmf-data", ".sigmf-meta"]) System.IO.File.Copy(File(name) + ending, copy + ending, overwrite: true);
        return RecordingReader.Open(copy);
    }

    public void Dispose()
    {
        if (Directory.Exists(Path)) Directory.Delete(Path, recursive: true);
    }
}
