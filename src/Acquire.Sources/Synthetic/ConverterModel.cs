namespace Acquire.Sources.Synthetic;

/// <summary>The converter: where it is not the ideal staircase. One converter reads all channels.</summary>
public sealed record ConverterModel
{
    /// <summary>Gain, relative; default 1.</summary>
    public double Gain { get; init; } = 1;

    /// <summary>Offset in codes; default 0.</summary>
    public double OffsetCodes { get; init; }

    /// <summary>Random spread of the code bin widths (differential nonlinearity), in codes rms.</summary>
    /// <value>0 to 2; default 0. Seeded; a bin never gets narrower than nothing.</value>
    public double WidthSpreadCodes { get; init; }

    /// <summary>Largest deviation of the transition levels from the straight line (integral nonlinearity) by a seeded smooth bend, in codes.</summary>
    /// <value>0 to 64; default 0.</value>
    public double BendCodes { get; init; }

    /// <summary>Codes that never appear, chosen by the seed.</summary>
    /// <value>0 to half of the codes; default 0.</value>
    public int MissingCodes { get; init; }

    /// <summary>Lowest bits that are always 0, as when a converter of fewer bits fills a wider word.</summary>
    /// <value>0 to 15 and fewer than the bits; default 0.</value>
    public int ZeroBits { get; init; }

    /// <summary>Level below which the input is held, as a share of the full code; default 0.</summary>
    public double ClampLow { get; init; }

    /// <summary>Level above which the input is held, as a share of the full code; default 1.</summary>
    public double ClampHigh { get; init; } = 1;

    /// <summary>Scans by which verticals and blanking are read after the ramp.</summary>
    /// <value>0 to 1; default 0.</value>
    public double SkewScans { get; init; }

    internal bool IsIdeal => WidthSpreadCodes == 0 && BendCodes == 0 && MissingCodes == 0;

    internal void Validate(int bits)
    {
        Check.Range(Gain, 1e-6, 1e6, "Converter.Gain", "relative");
        Check.Finite(OffsetCodes, "Converter.OffsetCodes");
        Check.Range(WidthSpreadCodes, 0, 2, "Converter.WidthSpreadCodes", "in codes rms");
        Check.Range(BendCodes, 0, 64, "Converter.BendCodes", "in codes");
        Check.Range(MissingCodes, 0, (1 << bits) / 2, "Converter.MissingCodes", "a number of codes, at most half of them");
        Check.Range(ZeroBits, 0, bits - 1, "Converter.ZeroBits", "a number of bits below the converter's");
        Check.Range(ClampLow, 0, 1, "Converter.ClampLow", "a share of the full code");
        Check.Range(ClampHigh, 0, 1, "Converter.ClampHigh", "a share of the full code");
        if (!(ClampLow < ClampHigh)) throw new ArgumentException($"Converter.ClampLow is {ClampLow} and Converter.ClampHigh is {ClampHigh}; low must be below high.");
        Check.Range(SkewScans, 0, 1, "Converter.SkewScans", "a part of a scan");
    }
}
