using Acquire.Painting;

namespace Acquire.Imaging.Tests.Sheets;

public class ContrastTests
{
    // WCAG 2.2, 1.4.3 (text 4.5) and 1.4.11 (graphics 3), as read in the published criteria.
    private const double ForText = 4.5, ForGraphics = 3;

    public static TheoryData<string> Styles => ["light", "dark"];

    [Theory]
    [MemberData(nameof(Styles))]
    public void Style_TextsAndLines_StandOutFromPaper(string name)
    {
        SheetStyle style = name is "light" ? SheetStyle.LightPaper : SheetStyle.Dark;

        Assert.All((Colour[])[style.Ink, style.SoftInk], c => Assert.True(c.ContrastWith(style.Paper) >= ForText, $"{c}: {c.ContrastWith(style.Paper):F2}"));
        Assert.All((Colour[])[style.Trace, style.Older, style.Reference, style.Rule], c => Assert.True(c.ContrastWith(style.Paper) >= ForGraphics, $"{c}: {c.ContrastWith(style.Paper):F2}"));
    }

    [Theory]
    [MemberData(nameof(Styles))]
    public void Style_Hierarchy_TraceBeforeOlderBeforeGridBeforeFineGrid(string name)
    {
        SheetStyle style = name is "light" ? SheetStyle.LightPaper : SheetStyle.Dark;

        double[] contrasts = [.. ((Colour[])[style.Trace, style.Older, style.Grid, style.FineGrid]).Select(c => c.ContrastWith(style.Paper))];

        Assert.Equal(contrasts.OrderDescending(), contrasts);
        Assert.True(contrasts[0] >= contrasts[1] * 1.8, "older columns are plainly paler");
    }

    [Theory]
    [MemberData(nameof(Styles))]
    public void Style_DarkTrace_IsNoSignalColour(string name)
    {
        SheetStyle style = name is "light" ? SheetStyle.LightPaper : SheetStyle.Dark;

        // Green, amber and yellow lead in green or in red and green; ours leads in blue.
        Assert.True(style.Trace.Blue > style.Trace.Green && style.Trace.Blue > style.Trace.Red);
    }
}
