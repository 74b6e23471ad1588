using System.Globalization;
using System.Text;

namespace Acquire;

/// <summary>Text of others made fit for one line: what a terminal would obey, or what turns the order of letters round, is written out.</summary>
/// <remarks>Compiled into every room that shows text, since no two of them share a room that may know of showing. Names, settings and words
/// of devices come from files and lines that nobody has looked at. Written out is <c>\u001b</c>, above the first plane <c>\U000e0001</c>.</remarks>
internal static class VisibleText
{
    /// <summary>What a message shows of one text: enough to find it again.</summary>
    public const int LongestInMessage = 120;

    /// <summary>What is shown of the words of a device or the name of a source.</summary>
    public const int LongestWords = 300;

    private const string Cut = "...";

    /// <summary>One text of others within a message.</summary>
    /// <param name="text">Anything, also from a damaged file.</param>
    /// <param name="longest">Characters after which it is cut.</param>
    public static string Of(string text, int longest = LongestInMessage)
    {
        if (text.Length <= longest && !text.AsSpan().ContainsAnyExceptInRange(' ', '~')) return text;
        StringBuilder line = new(Math.Min(text.Length, longest) + Cut.Length);
        foreach (Rune rune in text.EnumerateRunes())
        {
            if (line.Length >= longest) return line.Append(Cut).ToString();
            if (IsHarmless(rune)) line.Append(rune.ToString());
            else line.Append(rune.IsBmp ? @"\u" : @"\U").Append(rune.Value.ToString(rune.IsBmp ? "x4" : "x8", CultureInfo.InvariantCulture));
        }

        return line.ToString();
    }

    /// <summary>All of a text, such as a file's name, whose end tells files apart.</summary>
    /// <param name="text">Anything.</param>
    public static string Whole(string text) => Of(text, int.MaxValue);

    /// <summary>A text that may be of several lines, as one: line ends and tabs become spaces.</summary>
    /// <param name="text">Anything.</param>
    /// <param name="longest">Characters after which it is cut.</param>
    public static string Flowing(string text, int longest) => Of(text.Replace("\r\n", " ", StringComparison.Ordinal).Replace('\n', ' ').Replace('\r', ' ').Replace('\t', ' '), longest);

    private static bool IsHarmless(Rune rune) => Rune.GetUnicodeCategory(rune) is not (
        UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator
        or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned);
}
