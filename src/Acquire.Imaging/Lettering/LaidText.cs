using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Lettering;

/// <summary>A text laid out at a height, with its origin at the left end of the baseline.</summary>
/// <param name="Text">The wording.</param>
/// <param name="Advance">Length from the outline of the first to that of the last letter, spaces at the ends included, in pixels.</param>
/// <param name="Ink">What the pen covers, in pixels from the origin.</param>
/// <param name="Pen">Width of the pen in pixels.</param>
/// <param name="Path">The pen's way, in pixels from the origin.</param>
/// <param name="Snaps">Whether the letters are fitted to the pixel grid and want to stand on it.</param>
internal sealed record LaidText(string Text, double Advance, Box Ink, double Pen, ScenePath Path, bool Snaps)
{
    /// <summary>The text as an element with its origin at a point of the sheet.</summary>
    public TextElement At(double x, double baseline, Colour colour)
    {
        if (Snaps) (x, baseline) = (Math.Round(x), Math.Round(baseline));
        var path = new ScenePath();
        path.Append(Path, (px, py) => (px + x, py + baseline));
        return new TextElement(Text, new Box(Ink.Left + x, Ink.Top + baseline, Ink.Right + x, Ink.Bottom + baseline), path, colour, Pen);
    }
}
