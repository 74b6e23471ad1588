using Acquire.Painting;

namespace Acquire.Imaging.Scenes;

/// <summary>A finished picture as strokes, fills, images and texts, in pixels of the sheet, ready to be written.</summary>
/// <remarks>Immutable once rendered; may be written from any thread, several times, with the same result.</remarks>
public sealed class Scene
{
    internal Scene(double width, double height, double? pixelsPerMillimetre, string title, string description, Colour paper, IReadOnlyList<SceneElement> elements)
    {
        Width = width;
        Height = height;
        PixelsPerMillimetre = pixelsPerMillimetre;
        Title = title;
        Description = description;
        Paper = paper;
        Elements = elements;
    }

    /// <summary>Width in pixels.</summary>
    public double Width { get; }

    /// <summary>Height in pixels.</summary>
    public double Height { get; }

    /// <summary>Pixels in one millimetre of paper, or null for a picture without a size on paper.</summary>
    public double? PixelsPerMillimetre { get; }

    /// <summary>What the picture is called; the title of the SVG document.</summary>
    public string Title { get; }

    /// <summary>One sentence on what the picture shows, for readers who cannot see it.</summary>
    public string Description { get; }

    /// <summary>Colour of the paper under everything.</summary>
    public Colour Paper { get; }

    internal IReadOnlyList<SceneElement> Elements { get; }

    /// <summary>Writes the scene as SVG, UTF-8. The same scene gives the same bytes.</summary>
    /// <param name="stream">Written from its current position; stays open.</param>
    /// <exception cref="ArgumentNullException"><paramref name="stream"/> is null.</exception>
    public void WriteSvg(Stream stream) => SvgWriter.Write(this, stream);

    /// <summary>Writes the scene as PNG, 8 bits per colour, with the paper's resolution where it has one.</summary>
    /// <param name="stream">Written from its current position; stays open.</param>
    /// <exception cref="ArgumentNullException"><paramref name="stream"/> is null.</exception>
    public void WritePng(Stream stream) => PngWriter.Write(this, stream);

    /// <summary>Every text of the scene with the rectangle that its ink covers, in drawing order.</summary>
    internal IEnumerable<TextElement> Texts() => Walk(Elements).OfType<TextElement>();

    /// <summary>Every group that is a symbol, with the rectangle it needs.</summary>
    internal IEnumerable<GroupElement> Symbols() => Walk(Elements).OfType<GroupElement>().Where(g => g.Symbol is not null);

    private static IEnumerable<SceneElement> Walk(IEnumerable<SceneElement> elements)
    {
        foreach (SceneElement element in elements)
        {
            yield return element;
            if (element is GroupElement group)
            {
                foreach (SceneElement child in Walk(group.Children)) yield return child;
            }
        }
    }
}
