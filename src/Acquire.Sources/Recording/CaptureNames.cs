using System.Globalization;

namespace Acquire.Sources.Recording;

/// <summary>Names of the recordings of one capture: NAME alone, then NAME-0002; or NAME-0001 from the start where it rotates.</summary>
internal sealed class CaptureNames
{
    private readonly string _name;
    private readonly bool _numbered;
    private int _next = 1;

    /// <summary>Begins at the first name; numbers go on behind those of an earlier capture of that name.</summary>
    /// <param name="name">NAME, with or without a recording's ending.</param>
    /// <param name="numbered">Whether the first recording has a number too.</param>
    public CaptureNames(string name, bool numbered)
    {
        foreach (string ending in (string[])[".sigmf-meta", ".sigmf-data"])
            if (name.EndsWith(ending, StringComparison.Ordinal)) name = name[..^ending.Length];
        _name = name;
        _numbered = numbered;
        if (numbered) _next = HighestThere(name) + 1;
    }

    /// <summary>The name of the next recording.</summary>
    public string Next()
    {
        int number = _next++;
        return number == 1 && !_numbered ? _name : string.Create(CultureInfo.InvariantCulture, $"{_name}-{number:0000}");
    }

    /// <summary>Name of the first file that will be written, to see whether it can be.</summary>
    public string FirstData => (_numbered ? string.Create(CultureInfo.InvariantCulture, $"{_name}-{_next:0000}") : _name) + ".sigmf-data";

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
