using Acquire.Painting;

namespace Acquire.Imaging.Scenes;

/// <summary>A text as strokes; Box is what its ink covers.</summary>
internal sealed record TextElement(string Text, Box Box, ScenePath Path, Colour Colour, double Pen) : SceneElement;
