namespace Acquire.Harness.Tests.Doubles;

/// <summary>A folder of its own for one test, gone afterwards.</summary>
internal sealed class ScratchFolder : IDisposable
{
    /// <summary>Makes it in the folder for temporary files, or in another one.</summary>
    public ScratchFolder(string? parent = null) =>
        Path = parent is null
            ? Directory.CreateTempSubdirectory("acquire-").FullName
            : Directory.CreateDirectory(System.IO.Path.Combine(parent, $"acquire-{Guid.NewGuid():n}")).FullName;

    public string Path { get; }

    /// <summary>Writes a file of text and returns its path.</summary>
    public string Write(string name, string text)
    {
        string path = System.IO.Path.Combine(Path, name);
        File.WriteAllText(path, text);
        return path;
    }

    /// <summary>Writes a recording: metadata as given, and so many scans of two ramping 16-bit channels.</summary>
    public string WriteRecording(string name, string meta, int scans)
    {
        byte[] data = new byte[4 * scans];
        for (int i = 0; i < scans; i++)
        {
            BitConverter.TryWriteBytes(data.AsSpan(4 * i), (ushort)(i % 4096));
            BitConverter.TryWriteBytes(data.AsSpan((4 * i) + 2), (ushort)(i * 7 % 4096));
        }

        File.WriteAllBytes(System.IO.Path.Combine(Path, name + ".sigmf-data"), data);
        Write(name + ".sigmf-meta", meta);
        return System.IO.Path.Combine(Path, name);
    }

    /// <summary>Every name in the folder, to see that nothing was left behind.</summary>
    public IEnumerable<string> Names => Directory.GetFileSystemEntries(Path).Select(e => System.IO.Path.GetFileName(e)!).Order(StringComparer.Ordinal);

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
