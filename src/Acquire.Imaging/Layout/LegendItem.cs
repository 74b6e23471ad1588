using Acquire.Painting;

namespace Acquire.Imaging.Layout;

/// <summary>One line of the legend: a sample and its name.</summary>
/// <param name="Label">What the sample stands for.</param>
/// <param name="Colour">Colour of the sample.</param>
/// <param name="Width">Pen of a sample line in pixels; 0 fills a patch.</param>
/// <param name="Dash">Pattern of a sample line.</param>
internal sealed record LegendItem(string Label, Colour Colour, double Width, IReadOnlyList<double>? Dash = null)
{
    /// <summary>Whether the patch is hatched, as unfilled places of a history are.</summary>
    public bool IsHatched { get; init; }
}
