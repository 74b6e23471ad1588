using System.Text;
using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;
using CsCheck;

namespace Acquire.Imaging.Tests.Lettering;

public class LettererTests
{
    private const string WesternEuropean = "ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÐÑÒÓÔÕÖØÙÚÛÜÝÞßàáâãäåæçèéêëìíîïðñòóôõöøùúûüýþÿŒœŠšŽžŸ";
    private const string Greek = "αβγδεζηθικλμνξοπρστυφχψωΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩµΩ∆";
    private const string Signs = "−×±°·…–—‘’“”«»¡¿§€£¥¢©®½¼¾≤≥≈≠∞√‰→←¹²³⁰⁴⁵⁶⁷⁸⁹⁺⁻₀₁₂₃₄₅₆₇₈₉";

    // Characters that are meant to look alike, in technical lettering as in print.
    private static readonly string[] s_lookAlikes = ["μµ", "ΩΩ", "∆Δ", "Σ∑", "-‑", "AΑ", "BΒ", "EΕ", "ZΖ", "HΗ", "IΙ", "KΚ", "MΜ", "NΝ", "OΟ", "PΡ", "TΤ", "YΥ", "XΧ", "oο", "·⋅", ",‚"];

    [Theory]
    [InlineData(WesternEuropean)]
    [InlineData(Greek)]
    [InlineData(Signs)]
    public void TryGet_PromisedCharacters_AllHaveGlyphs(string characters) =>
        Assert.All(characters.EnumerateRunes(), rune => Assert.True(GlyphTable.TryGet(rune, out _), $"'{rune}' (U+{rune.Value:X4}) has no glyph"));

    [Fact]
    public void TryGet_PrintableAscii_AllHaveGlyphs() =>
        Assert.All(Enumerable.Range(0x20, 0x5F), code => Assert.True(GlyphTable.TryGet(new Rune(code), out _), $"U+{code:X4} has no glyph"));

    [Fact]
    public void Characters_NoTwoLookTheSame_UnlessMeantTo()
    {
        Dictionary<string, string> drawn = [];
        List<string> clashes = [];
        foreach (Rune rune in GlyphTable.Characters.Where(r => !Rune.IsWhiteSpace(r)))
        {
            LaidText laid = Letterer.Lay(rune.ToString(), 100);
            string shape = string.Join(' ', laid.Path.Numbers.Select(n => n.ToString("F1")));
            if (!drawn.TryAdd(shape, rune.ToString()) && !s_lookAlikes.Any(p => p.Contains(rune.ToString(), StringComparison.Ordinal) && p.Contains(drawn[shape], StringComparison.Ordinal)))
                clashes.Add($"{rune} looks like {drawn[shape]}");
        }

        Assert.Empty(clashes);
    }

    [Fact]
    public void Lay_UnknownCharacter_ShowsBoxAndKeepsWording()
    {
        LaidText unknown = Letterer.Lay("中", 40), box = Letterer.Lay("\u0007", 40);

        Assert.Equal("中", unknown.Text);
        Assert.Equal(40, unknown.Ink.Height, 3);
        Assert.True(unknown.Ink.Width > 15, "a stand-in must be seen");
        Assert.Equal(unknown.Path.Numbers, box.Path.Numbers);
    }

    [Theory]
    [InlineData(7)]
    [InlineData(8)]
    [InlineData(11)]
    [InlineData(20)]
    [InlineData(41.3)]
    public void Lay_Capital_StandsOnBaselineAndHasTheHeight(double height)
    {
        LaidText laid = Letterer.Lay("H", height);

        Assert.Equal(0, laid.Ink.Bottom, 6);
        Assert.Equal(-height, laid.Ink.Top, 6);
        Assert.Equal(Math.Max(1, height / 10), laid.Pen, 6);
    }

    [Theory]
    [InlineData(7)]
    [InlineData(9)]
    [InlineData(10)]
    public void Lay_SmallLetters_StemsFillWholePixels(double height)
    {
        LaidText laid = Letterer.Lay("HiHl", height);

        // A pen of one pixel is sharp when its middle is half a pixel in.
        double[] stems = [.. laid.Path.Numbers.Where((_, i) => i % 2 == 0).Take(4)];
        Assert.All(stems, x => Assert.Equal(0.5, x - Math.Floor(x), 6));
    }

    [Fact]
    public void Lay_CombiningAccent_LooksLikeThePrecomposedLetter() =>
        Assert.Equal(Letterer.Lay("éÅñ", 30).Path.Numbers, Letterer.Lay("e\u0301A\u030An\u0303", 30).Path.Numbers);

    [Fact]
    public void Lay_AnyText_InkLiesInsideItsBoxAndMeasureAgrees() =>
        Gen.Select(Gen.String[Gen.Char[" ABCÅgjq019.,-−µΩ²ç…/()"], 1, 30], Gen.Double[7, 60]).Sample((text, height) =>
        {
            LaidText laid = Letterer.Lay(text, height);
            if (Math.Abs(laid.Advance - Letterer.Measure(text, height)) > 1e-9) return false;
            if (laid.Path.IsEmpty) return true;
            Box reach = laid.Path.Bounds().Inflate((laid.Pen / 2) - 1e-9);
            return laid.Ink.Contains(reach) && laid.Ink.Right <= laid.Advance + (height * 0.25);
        });

    [Fact]
    public void Shorten_AnyWidth_FitsOrIsEmpty() =>
        Gen.Select(Gen.String[Gen.Char['!', 'z'], 0, 40], Gen.Double[0, 300]).Sample((text, width) =>
        {
            string shortened = Letterer.Shorten(text, 12, width);
            return Letterer.Measure(shortened, 12) <= width || shortened.Length == 0;
        });

    [Fact]
    public void Shorten_WhatFits_StaysAsItIs() => Assert.Equal("Span 50 kHz", Letterer.Shorten("Span 50 kHz", 12, 500));

    [Fact]
    public void Wrap_EnoughLines_LosesNoCharacterAndEveryLineFits() =>
        Gen.Select(Gen.String[Gen.Char["abc mW 10"], 1, 80], Gen.Double[60, 300]).Sample((text, width) =>
        {
            List<string> lines = Letterer.Wrap(text, 12, width, 100);
            return string.Concat(lines).Replace(" ", "", StringComparison.Ordinal) == text.Replace(" ", "", StringComparison.Ordinal)
                && lines.TrueForAll(l => Letterer.Measure(l, 12) <= width);
        });

    [Fact]
    public void Wrap_TooFewLines_LastOneSaysThatItWasShortened() =>
        Assert.EndsWith("…", Letterer.Wrap("one two three four five six seven", 12, 80, 2)[^1], StringComparison.Ordinal);
}
