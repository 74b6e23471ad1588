using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Lettering;

/// <summary>One drawn character in units of the pen width at its nominal height, y upwards from the baseline.</summary>
/// <param name="Width">Distance from the centre of the leftmost to the centre of the rightmost stroke, in units.</param>
/// <param name="Left">Room before the leftmost stroke's centre, in units.</param>
/// <param name="Right">Room after the rightmost stroke's centre, in units.</param>
/// <param name="Path">The pen's way, in units.</param>
internal sealed record Glyph(double Width, double Left, double Right, ScenePath Path)
{
    public double Advance => Left + Width + Right;
}
