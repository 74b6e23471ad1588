namespace Acquire.Imaging.Scenes;

/// <summary>Elements that belong together; Title is read by screen readers. Clip limits what is drawn; Symbol says that Box is kept clear of others.</summary>
internal sealed record GroupElement(string? Title, List<SceneElement> Children, Box? Clip = null, Box? Symbol = null) : SceneElement;
