namespace Acquire.Painting;

/// <summary>The colours of a sheet: paper, inks, grid. Computed in OKLab; contrasts are checked.</summary>
public sealed class SheetColours
{
    /// <summary>Shades of ink by age, from full to palest.</summary>
    public const int ShadeCount = 8;

    private readonly Colour[] _inks = new Colour[ShadeCount];

    private SheetColours(OkLab paper, OkLab ink, OkLab pale, OkLab palest, OkLab wash, OkLab grid, OkLab reference, OkLab mark)
    {
        Paper = Colour.From(paper);
        Grid = Colour.From(grid);
        Wash = Colour.From(wash);
        Reference = Colour.From(reference);
        Mark = Colour.From(mark);
        _inks[0] = Colour.From(ink);
        for (int shade = 1; shade < ShadeCount; shade++)
            _inks[shade] = Colour.From(pale.Towards(palest, (shade - 1) / (double)(ShadeCount - 2)));
    }

    /// <summary>Ink on light paper.</summary>
    public static SheetColours Light { get; } = new(
        paper: OkLab.FromHue(0.975, 0.010, 85),
        ink: OkLab.FromHue(0.270, 0.060, 270),
        pale: OkLab.FromHue(0.550, 0.045, 260),
        palest: OkLab.FromHue(0.643, 0.035, 255),
        wash: OkLab.FromHue(0.865, 0.025, 250),
        grid: OkLab.FromHue(0.905, 0.010, 85),
        reference: OkLab.FromHue(0.510, 0.120, 20),
        mark: OkLab.FromHue(0.620, 0.105, 70));

    /// <summary>Light ink on a dark sheet, for live screens.</summary>
    public static SheetColours Dark { get; } = new(
        paper: OkLab.FromHue(0.225, 0.020, 280),
        ink: OkLab.FromHue(0.950, 0.012, 85),
        pale: OkLab.FromHue(0.660, 0.045, 265),
        palest: OkLab.FromHue(0.560, 0.045, 270),
        wash: OkLab.FromHue(0.360, 0.035, 270),
        grid: OkLab.FromHue(0.300, 0.020, 280),
        reference: OkLab.FromHue(0.720, 0.095, 15),
        mark: OkLab.FromHue(0.640, 0.095, 75));

    /// <summary>Ground of the sheet.</summary>
    public Colour Paper { get; }

    /// <summary>Grid lines: seen when looked for.</summary>
    public Colour Grid { get; }

    /// <summary>Band from the lowest to the highest reading of a column, behind the trace.</summary>
    public Colour Wash { get; }

    /// <summary>Reference trace, dashed besides, so that it does not rest on hue.</summary>
    public Colour Reference { get; }

    /// <summary>Marks of doubtful columns, told apart by their patterns.</summary>
    public Colour Mark { get; }

    /// <summary>Ink of the sweep that is shown.</summary>
    public Colour Ink => _inks[0];

    /// <summary>Ink of older columns.</summary>
    public Colour PaleInk => _inks[1];

    /// <summary>Inks by shade: 0 full, 1 pale, the last palest. Memory of this object.</summary>
    public ReadOnlySpan<Colour> Inks => _inks;
}
