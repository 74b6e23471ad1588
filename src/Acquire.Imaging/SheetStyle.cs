using Acquire.Painting;

namespace Acquire.Imaging;

/// <summary>Colours of a chart sheet. Trace and paper are those of the live sheet, so that what is filed looks like what was seen.</summary>
public sealed record SheetStyle
{
    /// <summary>Ink on light paper, for filing and print. The default.</summary>
    public static SheetStyle LightPaper { get; } = From(
        SheetColours.Light, ColourRamp.OnPaper,
        ink: OkLab.FromHue(0.25, 0.03, 265), softInk: OkLab.FromHue(0.48, 0.025, 260), rule: OkLab.FromHue(0.33, 0.03, 265),
        grid: OkLab.FromHue(0.862, 0.012, 250), fineGrid: OkLab.FromHue(0.935, 0.007, 250), trace: OkLab.FromHue(0.31, 0.11, 265));

    /// <summary>Pale lines on a dark ground, for live screens.</summary>
    public static SheetStyle Dark { get; } = From(
        SheetColours.Dark, ColourRamp.OnDark,
        ink: OkLab.FromHue(0.925, 0.008, 265), softInk: OkLab.FromHue(0.74, 0.02, 265), rule: OkLab.FromHue(0.60, 0.025, 265),
        grid: OkLab.FromHue(0.35, 0.022, 275), fineGrid: OkLab.FromHue(0.275, 0.02, 278), trace: OkLab.FromHue(0.91, 0.05, 250));

    /// <summary>The sheet itself.</summary>
    public required Colour Paper { get; init; }

    /// <summary>Values, marker names and dimensions.</summary>
    public required Colour Ink { get; init; }

    /// <summary>Names of values and of axes.</summary>
    public required Colour SoftInk { get; init; }

    /// <summary>Frames, dividing lines and ticks.</summary>
    public required Colour Rule { get; init; }

    /// <summary>Grid lines that have a number.</summary>
    public required Colour Grid { get; init; }

    /// <summary>Grid lines between.</summary>
    public required Colour FineGrid { get; init; }

    /// <summary>The trace, or the first of two.</summary>
    public required Colour Trace { get; init; }

    /// <summary>Older parts of the trace.</summary>
    public required Colour Older { get; init; }

    /// <summary>A reference trace, or the second of two.</summary>
    public required Colour Reference { get; init; }

    /// <summary>The band between the lowest and the highest value.</summary>
    public required Colour Envelope { get; init; }

    /// <summary>Colours of a history.</summary>
    public required ColourRamp Ramp { get; init; }

    private static SheetStyle From(SheetColours live, ColourRamp ramp, OkLab ink, OkLab softInk, OkLab rule, OkLab grid, OkLab fineGrid, OkLab trace) => new()
    {
        Paper = live.Paper,
        Ink = Colour.From(ink),
        SoftInk = Colour.From(softInk),
        Rule = Colour.From(rule),
        Grid = Colour.From(grid),
        FineGrid = Colour.From(fineGrid),
        Trace = Colour.From(trace),
        Older = live.PaleInk,
        Reference = live.Reference,
        Envelope = live.Wash,
        Ramp = ramp,
    };
}
