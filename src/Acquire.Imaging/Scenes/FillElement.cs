using Acquire.Painting;

namespace Acquire.Imaging.Scenes;

/// <summary>An area filled with one colour.</summary>
internal sealed record FillElement(ScenePath Path, Colour Colour) : SceneElement;
