using System.Globalization;

namespace Acquire.Sources.Recording;

/// <summary>Names of the recordings of one capture: NAME alone, then NAME-0002; or NAME-0001 from the start where it rotates. A number that is taken is passed over.</summary>
internal sealed class CaptureNames
{
    private static readonly string[] Endings = [".sigmf-meta", ".sigmf-data"];

    private readonly string _name;
    private readonly bool _numbered;
    private int _nextNumber;
    private bool _begun;

    /// <summary>Begins at the first name; numbers go on behind those of an earlier capture of that name.</summary>
    /// <param name="name">NAME, with or without a recording's ending.</param>
    /// <param name="numbered">Whether the first recording has a number too.</param>
    public CaptureNames(string name, bool numbered)
    {
        foreach (string ending in Endings)
            if (name.EndsWith(ending, StringComparison.Ordinal)) name = name[..^ending.Length];
        _name = name;
        _numbered = numbered;
        _nextNumber = Math.Max(HighestThere(name) + 1, numbered ? 1 : 2);
    }

    /// <summary>The name of the next recording.</summary>
    public string Next()
    {
        bool first = !_begun;
        _begun = true;
        if (first && !_numbered) return _name;

        // Another capture of this name may have gone on meanwhile.
        while (Endings.Any(ending => File.Exists(Numbered(_nextNumber) + ending))) _nextNumber++;
        return Numbered(_nextNumber++);
    }

    /// <summary>The first name, to see whether anything can be written there.</summary>
    public string First => _numbered ? Numbered(_nextNumber) : _name;

    private string Numbered(int number) => string.Create(CultureInfo.InvariantCulture, $"{_name}-{number:0000}");

    private static int HighestThere(string name)
    {
        string? folder = Path.GetDirectoryName(Path.GetFullPath(name));
        if (folder is null || !Directory.Exists(folder)) return 0;
        string prefix = Path.GetFileName(name) + "-";
        int highest = 0;
        foreach (string path in Directory.EnumerateFiles(folder))
        {
            string file = Path.GetFileName(path);
            int dot = file.IndexOf(".sigmf-", StringComparison.Ordinal);
            if (dot > prefix.Length && file.StartsWith(prefix, StringComparison.Ordinal)
                && int.TryParse(file.AsSpan(prefix.Length, dot - prefix.Length), NumberStyles.None, CultureInfo.InvariantCulture, out int number))
            {
                highest = Math.Max(highest, number);
            }
        }

        return highest;
    }
}
