namespace Acquire.Recordings.Tests.Doubles;

/// <summary>A folder of its own that goes away with the test.</summary>
internal sealed class TempFolder : IDisposable
{
    public TempFolder() => FullName = Directory.CreateTempSubdirectory("acquire-test-").FullName;

    public string FullName { get; }

    public string File(string name) => Path.Combine(FullName, name);

    /// <summary>Names of everything in the folder, sorted.</summary>
    public string[] Names() =>
        [.. Directory.GetFileSystemEntries(FullName).Select(f => Path.GetFileName(f)!).Order(StringComparer.Ordinal)];

    public void Dispose() => Directory.Delete(FullName, recursive: true);
}
