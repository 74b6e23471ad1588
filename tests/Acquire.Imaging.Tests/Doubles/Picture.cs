using Acquire.Imaging.Scenes;
using Acquire.Painting;
using StbImageSharp;

namespace Acquire.Imaging.Tests.Doubles;

/// <summary>A decoded picture; the decoder is not the library that encoded it.</summary>
internal sealed class Picture
{
    private readonly byte[] _rgba;

    private Picture(ImageResult image) => (_rgba, Width, Height) = (image.Data, image.Width, image.Height);

    public int Width { get; }

    public int Height { get; }

    public static Picture Of(Scene scene)
    {
        using var stream = new MemoryStream();
        scene.WritePng(stream);
        return Decode(stream.ToArray());
    }

    public static Picture Decode(byte[] png) => new(ImageResult.FromMemory(png, ColorComponents.RedGreenBlueAlpha));

    public Colour At(int x, int y)
    {
        int at = ((y * Width) + x) * 4;
        return new Colour(_rgba[at], _rgba[at + 1], _rgba[at + 2]);
    }

    /// <summary>How much of a pixel is ink, 0 to 1, judged by its red.</summary>
    public double Coverage(int x, int y, Colour paper, Colour ink) => Math.Clamp((paper.Red - At(x, y).Red) / (double)(paper.Red - ink.Red), 0, 1);
}
