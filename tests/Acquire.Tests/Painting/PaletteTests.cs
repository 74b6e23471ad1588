using Acquire.Painting;
using Acquire.Tests.Models;

namespace Acquire.Tests.Painting;

public class PaletteTests
{
    public static TheoryData<string> Ramps => ["paper", "dark"];

    public static TheoryData<string> Sheets => ["light", "dark"];

    [Theory]
    [MemberData(nameof(Ramps))]
    public void Ramp_NeighbouringColours_LightnessAndGreyPrintRunStrictlyOneWay(string name)
    {
        ReadOnlySpan<Colour> colours = RampOf(name).Colours;
        int way = name == "paper" ? -1 : 1;
        for (int i = 1; i < colours.Length; i++)
        {
            Assert.True((colours[i].ToOkLab().L - colours[i - 1].ToOkLab().L) * way > 0, $"OKLab lightness does not go on at {i}: {colours[i - 1]} {colours[i]}.");
            Assert.True((colours[i].Luminance - colours[i - 1].Luminance) * way > 0, $"Luminance does not go on at {i}: {colours[i - 1]} {colours[i]}.");
        }
    }

    [Theory]
    [MemberData(nameof(Ramps))]
    public void Ramp_AnyKindOfColourVision_SeesOrderAndSteps(string name)
    {
        // Sixteen steps over the ramp. A CIEDE2000 difference of 1 is about the least that is seen side by side (common practice).
        ReadOnlySpan<Colour> colours = RampOf(name).Colours;
        int way = name == "paper" ? -1 : 1;
        foreach ((string kind, double[] matrix) in ColourVision.All)
            for (int i = 17; i < colours.Length; i += 17)
            {
                CieLab before = ColourVision.Seen(colours[i - 17], matrix);
                CieLab after = ColourVision.Seen(colours[i], matrix);
                Assert.True((after.L - before.L) * way > 2, $"{kind}: lightness goes from {before.L:F1} to {after.L:F1} at {i}.");
                Assert.True(before.DifferenceTo(after) > 2.5, $"{kind}: step to {i} is {before.DifferenceTo(after):F2}.");
            }
    }

    [Theory]
    [MemberData(nameof(Ramps))]
    public void Ramp_Steps_AreEven(string name)
    {
        ReadOnlySpan<Colour> colours = RampOf(name).Colours;
        double whole = colours[255].ToOkLab().L - colours[0].ToOkLab().L;
        for (int i = 0; i < 256; i++)
            Assert.Equal(whole * i / 255, colours[i].ToOkLab().L - colours[0].ToOkLab().L, 0.002);
    }

    [Fact]
    public void At_Fraction_IsCutToTheEnds()
    {
        ColourRamp ramp = ColourRamp.OnPaper;

        Assert.Equal(ramp.Colours[0], ramp.At(-3));
        Assert.Equal(ramp.Colours[255], ramp.At(1.01));
        Assert.Equal(ramp.Colours[128], ramp.At(128 / 255.0));
    }

    [Theory]
    [MemberData(nameof(Sheets))]
    public void Sheet_Inks_StandOutFromThePaper(string name)
    {
        SheetColours sheet = SheetOf(name);

        Assert.True(sheet.Ink.ContrastWith(sheet.Paper) >= 7, "Full ink is below the enhanced contrast of WCAG 2.2, 1.4.6.");
        Assert.True(sheet.PaleInk.ContrastWith(sheet.Paper) >= 4.5, $"Pale ink has {sheet.PaleInk.ContrastWith(sheet.Paper):F2}, below WCAG 2.2, 1.4.3.");
        foreach (Colour ink in sheet.Inks)
            Assert.True(ink.ContrastWith(sheet.Paper) >= 3, $"An ink has {ink.ContrastWith(sheet.Paper):F2}, below the graphics contrast of WCAG 2.2, 1.4.11.");
        Assert.True(sheet.Reference.ContrastWith(sheet.Paper) >= 4.5, "The reference has too little contrast.");
        Assert.True(sheet.Mark.ContrastWith(sheet.Paper) >= 3, $"A mark has {sheet.Mark.ContrastWith(sheet.Paper):F2}, below the graphics contrast of WCAG 2.2, 1.4.11.");
        Assert.True(sheet.Mark.ContrastWith(sheet.Paper) < sheet.PaleInk.ContrastWith(sheet.Paper), "A mark is louder than a trace.");
        Assert.InRange(sheet.Grid.ContrastWith(sheet.Paper), 1.15, 2);
        Assert.InRange(sheet.Wash.ContrastWith(sheet.Paper), 1.15, 2);
        Assert.True(sheet.Ink.ContrastWith(sheet.Wash) >= 4.5, "Ink does not stand out from the wash behind it.");
    }

    [Theory]
    [MemberData(nameof(Sheets))]
    public void Sheet_Inks_AreToldApartByEveryReader(string name)
    {
        SheetColours sheet = SheetOf(name);
        foreach ((string kind, double[] matrix) in ColourVision.All)
        {
            CieLab ink = ColourVision.Seen(sheet.Ink, matrix);
            CieLab pale = ColourVision.Seen(sheet.PaleInk, matrix);
            CieLab reference = ColourVision.Seen(sheet.Reference, matrix);
            Assert.True(ink.DifferenceTo(pale) > 15, $"{kind}: full and pale ink differ by {ink.DifferenceTo(pale):F1}.");
            CieLab mark = ColourVision.Seen(sheet.Mark, matrix);
            Assert.True(mark.DifferenceTo(ink) > 12, $"{kind}: marks and ink differ by {mark.DifferenceTo(ink):F1}.");
            Assert.True(ink.DifferenceTo(reference) > 12, $"{kind}: ink and reference differ by {ink.DifferenceTo(reference):F1}.");
        }

        for (int shade = 1; shade < SheetColours.ShadeCount; shade++)
            Assert.True(sheet.Inks[shade].ContrastWith(sheet.Paper) < sheet.Inks[shade - 1].ContrastWith(sheet.Paper), $"Shade {shade} is not paler.");
    }

    private static ColourRamp RampOf(string name) => name == "paper" ? ColourRamp.OnPaper : ColourRamp.OnDark;

    private static SheetColours SheetOf(string name) => name == "light" ? SheetColours.Light : SheetColours.Dark;
}
