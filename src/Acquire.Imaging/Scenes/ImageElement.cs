namespace Acquire.Imaging.Scenes;

/// <summary>Pixels, straight RGBA, row by row from the top; one picture pixel covers Box.Width / Columns sheet pixels.</summary>
internal sealed record ImageElement(Box Box, int Columns, int Rows, byte[] Rgba, string Title) : SceneElement;
