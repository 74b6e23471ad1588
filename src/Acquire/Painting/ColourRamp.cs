namespace Acquire.Painting;

/// <summary>256 colours from nothing to full, in equal steps of lightness, for a history's levels.</summary>
/// <remarks>
/// Computed in OKLab: lightness runs evenly and strictly one way, the hue turns beside it. So a grey print and a reader who
/// does not see some hues get the same order. Immutable; any thread may read.
/// </remarks>
public sealed class ColourRamp
{
    /// <summary>Colours in a ramp.</summary>
    public const int Count = 256;

    private readonly Colour[] _colours = new Colour[Count];

    private ColourRamp(OkLab none, OkLab middle, OkLab full)
    {
        for (int i = 0; i < Count; i++)
        {
            double share = i / (double)(Count - 1);
            OkLab hue = share < 0.5 ? none.Towards(middle, share * 2) : middle.Towards(full, (share * 2) - 1);
            _colours[i] = NearestInLightness(hue with { L = none.L + ((full.L - none.L) * share) });
        }
    }

    /// <summary>For light paper: the more signal, the more ink; a wash of blue-black that is laid on thicker and thicker.</summary>
    public static ColourRamp OnPaper { get; } = new(
        OkLab.FromHue(0.968, 0.012, 85), OkLab.FromHue(0.600, 0.085, 240), OkLab.FromHue(0.235, 0.080, 285));

    /// <summary>For a dark sheet: the more signal, the more light.</summary>
    public static ColourRamp OnDark { get; } = new(
        OkLab.FromHue(0.235, 0.025, 290), OkLab.FromHue(0.600, 0.095, 262), OkLab.FromHue(0.968, 0.020, 85));

    /// <summary>The colours, from nothing to full. Memory of the ramp.</summary>
    public ReadOnlySpan<Colour> Colours => _colours;

    /// <summary>The colour of a share of the range.</summary>
    /// <param name="fraction">0 to 1; outside it is the nearer end. Not NaN: what was not measured has no colour in a ramp.</param>
    public Colour At(double fraction) => _colours[(int)((Math.Clamp(fraction, 0, 1) * (Count - 1)) + 0.5)];

    // One step of lightness is about one step of one channel, so plain rounding would make neighbours equal or swap them. Of the eight
    // ways to round three channels, the one nearest in lightness and in luminance is taken; hue may be off by what nobody sees.
    private static Colour NearestInLightness(OkLab wanted)
    {
        (double red, double green, double blue) = wanted.ToLinear();
        Span<double> exact = [SrgbTransfer.EncodeUnrounded(red), SrgbTransfer.EncodeUnrounded(green), SrgbTransfer.EncodeUnrounded(blue)];
        double luminance = (0.2126 * red) + (0.7152 * green) + (0.0722 * blue);
        Colour best = default;
        double bestError = double.MaxValue;
        for (int way = 0; way < 8; way++)
        {
            var colour = new Colour(Rounded(exact[0], way & 1), Rounded(exact[1], way & 2), Rounded(exact[2], way & 4));
            OkLab found = colour.ToOkLab();

            // Luminance on the scale of lightness, whose slope is 3 L^2: both errors count alike.
            double error = Math.Abs(found.L - wanted.L) + (Math.Abs(colour.Luminance - luminance) / (3 * wanted.L * wanted.L));
            if (error >= bestError) continue;
            bestError = error;
            best = colour;
        }

        return best;
    }

    private static byte Rounded(double value, int up) => (byte)Math.Min(255, Math.Floor(value) + (up != 0 ? 1 : 0));
}
