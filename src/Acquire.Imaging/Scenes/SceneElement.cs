namespace Acquire.Imaging.Scenes;

/// <summary>One thing in a scene; later ones lie on top.</summary>
internal abstract record SceneElement;
