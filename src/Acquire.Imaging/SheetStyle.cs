using Acquire.Imaging.Scenes;

namespace Acquire.Imaging;

/// <summary>Colours of a sheet.</summary>
public sealed record SheetStyle
{
    /// <summary>Ink on light paper, for filing and print. The default.</summary>
    public static SheetStyle LightPaper { get; } = new()
    {
        Paper = Colour.FromRgb(0xFBFAF5),
        Ink = Colour.FromRgb(0x1B2430),
        SoftInk = Colour.FromRgb(0x566070),
        Rule = Colour.FromRgb(0x2B3543),
        Grid = Colour.FromRgb(0xCBD3DA),
        FineGrid = Colour.FromRgb(0xE7EAEC),
        Trace = Colour.FromRgb(0x14306B),
        Older = Colour.FromRgb(0x8395B6),
        Reference = Colour.FromRgb(0xB5482A),
        Envelope = Colour.FromRgb(0xCFDBEC),
    };

    /// <summary>Pale lines on a dark ground, for live screens.</summary>
    public static SheetStyle Dark { get; } = new()
    {
        Paper = Colour.FromRgb(0x11161D),
        Ink = Colour.FromRgb(0xE4E8EC),
        SoftInk = Colour.FromRgb(0x9AA7B4),
        Rule = Colour.FromRgb(0x7A8896),
        Grid = Colour.FromRgb(0x323D4A),
        FineGrid = Colour.FromRgb(0x1D252E),
        Trace = Colour.FromRgb(0xC4DAFF),
        Older = Colour.FromRgb(0x61799E),
        Reference = Colour.FromRgb(0xFF9B80),
        Envelope = Colour.FromRgb(0x27395A),
    };

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
}
