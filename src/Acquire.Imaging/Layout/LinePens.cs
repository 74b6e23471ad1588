using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Layout;

/// <summary>Pens for one line in all its manners.</summary>
/// <param name="Colour">Colour of the line.</param>
/// <param name="Width">Width of the pen where values are sure, in pixels.</param>
internal sealed record LinePens(Colour Colour, double Width)
{
    /// <summary>Pattern of a line that is dashed in all its manners, as a reference is; null for a full line.</summary>
    public IReadOnlyList<double>? Dash { get; init; }

    public Colour ColourOf(LineManner _) => Colour;

    public double WidthOf(LineManner manner) => manner == LineManner.Sure ? Width : Math.Max(1, Width * 0.6);

    public IReadOnlyList<double>? DashOf(LineManner manner) => manner switch
    {
        LineManner.AtOrBelow => [Width * 0.2, Width * 2.2],
        LineManner.Bridged => [Width * 3, Width * 2.5],
        _ => Dash,
    };
}
