using System.Globalization;
using System.Text;

namespace Acquire.Recordings;

/// <summary>Makes foreign text fit for a one-line message: control characters escaped, length bounded.</summary>
internal static class OneLine
{
    private const int LongestText = 120;

    /// <summary>Text for a message.</summary>
    /// <param name="text">Anything, also from a damaged file.</param>
    public static string Of(string text)
    {
        var line = new StringBuilder(Math.Min(text.Length, LongestText + 3));
        foreach (char c in text)
        {
            if (line.Length >= LongestText) return line.Append("...").ToString();
            if (char.IsControl(c) || c is '\u2028' or '\u2029') line.Append(CultureInfo.InvariantCulture, $"\\u{(int)c:x4}");
            else line.Append(c);
        }

        return line.ToString();
    }

    /// <summary>A file's name for a message; longer than other text, since its end tells files apart.</summary>
    /// <param name="path">Path as the user gave it.</param>
    public static string Path(string path)
    {
        var line = new StringBuilder(path.Length);
        foreach (char c in path)
        {
            if (char.IsControl(c)) line.Append(CultureInfo.InvariantCulture, $"\\u{(int)c:x4}");
            else line.Append(c);
        }

        return line.ToString();
    }
}
