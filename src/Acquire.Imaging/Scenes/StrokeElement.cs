using Acquire.Painting;

namespace Acquire.Imaging.Scenes;

/// <summary>A line drawn with a pen of one width in pixels; round ends and corners unless it is butt-ended.</summary>
internal sealed record StrokeElement(ScenePath Path, Colour Colour, double Width, IReadOnlyList<double>? Dash = null, bool Butt = false) : SceneElement;
