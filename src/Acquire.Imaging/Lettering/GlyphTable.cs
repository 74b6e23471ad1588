using System.Collections.Frozen;
using System.Globalization;
using System.Text;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Lettering;

/// <summary>Finds the glyph of a character; a character without one gets a box that is plainly a stand-in.</summary>
internal static class GlyphTable
{
    // Indices are written one size smaller, as in technical lettering, with the same pen.
    private const double IndexScale = 0.68;
    private const double SuperscriptRise = 4.2;
    private const double SubscriptRise = -2.5;

    private static readonly FrozenDictionary<int, Glyph> s_glyphs = Build();

    /// <summary>The stand-in for characters that are not drawn: a box with a bar across.</summary>
    public static Glyph Placeholder { get; } = GlyphParser.Parse("ss", 4.6, ["0,0 0,9 4.6,9 4.6,0 z", "1.3,2.6 3.3,6.4"]);

    public static bool TryGet(Rune rune, out Glyph glyph) => s_glyphs.TryGetValue(rune.Value, out glyph!);

    /// <summary>Every character that has a glyph, ascending.</summary>
    public static IEnumerable<Rune> Characters => s_glyphs.Keys.Order().Select(v => new Rune(v));

    private static FrozenDictionary<int, Glyph> Build()
    {
        var glyphs = new Dictionary<int, Glyph>();
        foreach (string table in (string[])[GlyphData.Latin, GlyphData.Greek, GlyphData.Signs])
        {
            foreach (string line in table.Split('\n', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)) AddLine(glyphs, line);
        }

        AddSpaces(glyphs);
        AddSameShapes(glyphs);
        AccentTable.AddTo(glyphs);
        AddIndices(glyphs, "⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁼⁽⁾ⁿⁱ", "0123456789+−=()ni", SuperscriptRise);
        AddIndices(glyphs, "₀₁₂₃₄₅₆₇₈₉₊₋₌₍₎ₐₑₒₓₕₖₗₘₙₚₛₜᵢᵣᵤᵥ", "0123456789+−=()aeoxhklmnpstiruv", SubscriptRise);
        AddFractions(glyphs);
        return glyphs.ToFrozenDictionary();
    }

    private static void AddLine(Dictionary<int, Glyph> glyphs, string line)
    {
        var character = Rune.GetRuneAt(line, 0);
        string[] parts = line[character.Utf16SequenceLength..].Split('|');
        string[] head = parts[0].Split(' ', StringSplitOptions.RemoveEmptyEntries);
        glyphs.Add(character.Value, GlyphParser.Parse(head[0], double.Parse(head[1], CultureInfo.InvariantCulture), parts.Skip(1)));
    }

    private static void AddSpaces(Dictionary<int, Glyph> glyphs)
    {
        glyphs.Add(' ', Space(4));
        glyphs.Add('\u00A0', Space(4));
        glyphs.Add('\u2007', Space(7.7)); // as wide as a digit
        glyphs.Add('\u2009', Space(2));
        glyphs.Add('\u202F', Space(2));

        static Glyph Space(double width) => new(width, 0, 0, new ScenePath());
    }

    private static void AddSameShapes(Dictionary<int, Glyph> glyphs)
    {
        const string Pairs = "μµΩΩ∆Δ∑Σ‑-ΑAΒBΕEΖZΗHΙIΚKΜMΝNΟOΡPΤTΥYΧXοo⋅·";
        for (int i = 0; i < Pairs.Length; i += 2) glyphs[Pairs[i]] = glyphs[Pairs[i + 1]];
    }

    private static void AddIndices(Dictionary<int, Glyph> glyphs, string indices, string letters, double rise)
    {
        for (int i = 0; i < indices.Length; i++) glyphs[indices[i]] = Scaled(glyphs[letters[i]], IndexScale, 0, rise);
    }

    private static void AddFractions(Dictionary<int, Glyph> glyphs)
    {
        foreach ((char fraction, char top, char bottom) in ((char, char, char)[])[('¼', '1', '4'), ('½', '1', '2'), ('¾', '3', '4')])
        {
            Glyph over = Scaled(glyphs[top], 0.55, 0, 4.6), under = Scaled(glyphs[bottom], 0.55, 4.7, -0.6);
            var path = new ScenePath();
            path.Append(over.Path);
            path.Append(under.Path);
            path.Append(ScenePath.Line(1.6, -0.6, 6.2, 9.6));
            glyphs[fraction] = new Glyph(7.6, 1.1, 1.1, path);
        }
    }

    private static Glyph Scaled(Glyph glyph, double scale, double shift, double rise)
    {
        var path = new ScenePath();
        path.Append(glyph.Path, (x, y) => ((x * scale) + shift, (y * scale) + rise));
        // The pen does not shrink, so neither does all of the room beside the letter.
        return new Glyph(glyph.Width * scale, 0.85, 0.85, path);
    }
}
