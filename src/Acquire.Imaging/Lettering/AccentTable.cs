using System.Text;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Lettering;

/// <summary>Letters with accents, put together from the letter and the accent.</summary>
internal static class AccentTable
{
    // Small letters carry the accent above their height of 6, capitals above 9.
    private const double CapitalLift = 3.1;

    // Combining character, shape around x = 0 for a small letter, precomposed letters with their bases.
    private static readonly (char Combining, string Shape, string Letters)[] s_accents =
    [
        ('\u0300', "-1,9.2 0.7,7.6", "àaèeìıòoùuÀAÈEÌIÒOÙUǹnẁwẀW"),
        ('\u0301', "-0.7,7.6 1,9.2", "áaéeíıóoúuýyÁAÉEÍIÓOÚUÝYćcĆCńnŃNśsŚSźzŹZ"),
        ('\u0302', "-1.5,7.6 0,9.1 1.5,7.6", "âaêeîıôoûuÂAÊEÎIÔOÛUŵwŴWŷyŶY"),
        ('\u0303', "-1.9,7.9 -0.9,9.1~0.7/0.9 0.9,7.7~0.9/0.7 1.9,8.9", "ãañnõoÃAÑNÕO"),
        ('\u0304', "-1.6,8.4 1.6,8.4", "āaēeīıōoūuĀAĒEĪIŌOŪU"),
        ('\u0307', "@0,8.6", "ėeżzĖEŻZİI"),
        ('\u0308', "@-1.3,8.5 | @1.3,8.5", "äaëeïıöoüuÿyÄAËEÏIÖOÜUŸY"),
        ('\u030A', "-1.1,9.6~1.1 1.1,9.6~1.1 1.1,7.4~1.1 -1.1,7.4~1.1 z", "åaůuÅAŮU"),
        ('\u030B', "-1.6,7.6 -0.5,9.2 | 0.6,7.6 1.7,9.2", "őoűuŐOŰU"),
        ('\u030C', "-1.5,9.1 0,7.6 1.5,9.1", "čcěeňnřršsžzČCĎDĚEŇNŘRŠSŤTŽZ"),
        ('\u0327', "0,0 -0.1,-1 1,-1~0.5/0.6 1,-2.7~0.8/0.9 -0.9,-2.7", "çcşsÇCŞS"),
        ('\u0328', "0.6,0 -0.4,-1.6~0.7/0.7 0,-2.7~0.6/0.6 1.2,-2.6", "ąaęeĄAĘE"),
    ];

    public static void AddTo(Dictionary<int, Glyph> glyphs)
    {
        foreach ((char _, string shape, string letters) in s_accents)
        {
            for (int i = 0; i < letters.Length; i += 2) glyphs[letters[i]] = Compose(letters[i + 1], glyphs[letters[i + 1]], shape);
        }
    }

    /// <summary>Puts a combining accent on the letter before it; false when the accent is not drawn.</summary>
    public static bool TryCombine(Rune letter, Glyph glyph, Rune combining, out Glyph combined)
    {
        foreach ((char mark, string shape, string _) in s_accents)
        {
            if (mark != combining.Value) continue;
            if (letter.Value is 'i' or 'j') GlyphTable.TryGet(new Rune('ı'), out glyph);
            combined = Compose((char)letter.Value, glyph, shape);
            return true;
        }

        combined = glyph;
        return false;
    }

    private static Glyph Compose(char letter, Glyph glyph, string shape)
    {
        Glyph accent = GlyphParser.Parse("nn", 0, shape.Split('|'));
        bool below = accent.Path.Numbers[^1] < 0;
        bool tall = char.IsAsciiLetterUpper(letter) || letter is 'b' or 'd' or 'f' or 'h' or 'k' or 'l' or 't';
        double lift = tall && !below ? CapitalLift : 0, centre = glyph.Width / 2;
        Box reach = accent.Path.Bounds();
        // A letter narrower than its accent makes room for it.
        double shift = Math.Max(0, -(centre + reach.Left + 0.3));
        double room = Math.Max(0, centre + reach.Right - glyph.Width - 0.3);
        var path = new ScenePath();
        path.Append(glyph.Path, (x, y) => (x + shift, y));
        path.Append(accent.Path, (x, y) => (x + centre + shift, y + lift));
        return new Glyph(glyph.Width + shift + room, shift > 0 ? Math.Min(glyph.Left, 1.1) : glyph.Left, room > 0 ? Math.Min(glyph.Right, 1.1) : glyph.Right, path);
    }
}
