using System.Globalization;
using System.Text;

namespace Acquire.Harness.Shell;

/// <summary>Foreign text made fit to be shown: what a terminal would obey, or what turns the order of letters round, is written out.</summary>
internal static class VisibleText
{
    private const int LongestText = 300;

    /// <summary>The text on one line, escaped and not without end.</summary>
    /// <param name="text">As a device or file gave it.</param>
    public static string Of(string text)
    {
        StringBuilder line = new(Math.Min(text.Length, LongestText));
        foreach (Rune rune in text.EnumerateRunes())
        {
            if (line.Length >= LongestText) return line.Append(" ...").ToString();
            if (IsHarmless(rune)) line.Append(rune);
            else line.Append(CultureInfo.InvariantCulture, $"\\u{{{rune.Value:x}}}");
        }

        return line.ToString();
    }

    private static bool IsHarmless(Rune rune) => Rune.GetUnicodeCategory(rune) is not (
        UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator
        or UnicodeCategory.Surrogate or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned);
}
