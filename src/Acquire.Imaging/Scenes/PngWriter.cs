using System.Buffers.Binary;
using System.Runtime.InteropServices;
using Acquire.Painting;
using SkiaSharp;

namespace Acquire.Imaging.Scenes;

/// <summary>Draws a scene, antialiased, and encodes it as PNG.</summary>
internal static class PngWriter
{
    private const int HeaderLength = 8 + 25; // signature and IHDR chunk

    public static void Write(Scene scene, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(stream);
        int width = (int)Math.Round(scene.Width), height = (int)Math.Round(scene.Height);
        using var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Rgba8888, SKAlphaType.Premul));
        using (var canvas = new SKCanvas(bitmap))
        {
            canvas.Clear(ToSkia(scene.Paper));
            using var paint = new SKPaint { IsAntialias = true };
            DrawAll(canvas, paint, scene.Elements);
            canvas.Flush();
        }

        using SKPixmap pixels = bitmap.PeekPixels();
        using SKData data = EncodePixels(pixels);
        WriteWithResolution(data.AsSpan(), scene.PixelsPerMillimetre, stream);
    }

    /// <summary>Encodes straight RGBA pixels.</summary>
    public static byte[] Encode(byte[] rgba, int columns, int rows)
    {
        var info = new SKImageInfo(columns, rows, SKColorType.Rgba8888, SKAlphaType.Unpremul);
        GCHandle pin = GCHandle.Alloc(rgba, GCHandleType.Pinned);
        try
        {
            using var pixels = new SKPixmap(info, pin.AddrOfPinnedObject());
            using SKData data = EncodePixels(pixels);
            return data.ToArray();
        }
        finally
        {
            pin.Free();
        }
    }

    // Measured on these sheets: Up alone packs best, and level 4 takes half as long again as level 3 for a quarter less.
    private static SKData EncodePixels(SKPixmap pixels) =>
        pixels.Encode(new SKPngEncoderOptions(SKPngEncoderFilterFlags.Up, 3))
        ?? throw new InvalidOperationException($"A picture of {pixels.Width} by {pixels.Height} pixels could not be encoded as PNG; make it smaller.");

    private static void DrawAll(SKCanvas canvas, SKPaint paint, IEnumerable<SceneElement> elements)
    {
        foreach (SceneElement element in elements)
        {
            switch (element)
            {
                case StrokeElement stroke: DrawStroke(canvas, paint, stroke.Path, stroke.Colour, stroke.Width, stroke.Butt, stroke.Dash); break;
                case TextElement text: DrawStroke(canvas, paint, text.Path, text.Colour, text.Pen, butt: false, dash: null); break;
                case FillElement fill: DrawFill(canvas, paint, fill); break;
                case ImageElement image: DrawImage(canvas, image); break;
                case GroupElement group:
                    int depth = canvas.Save();
                    if (group.Clip is { } clip) canvas.ClipRect(ToSkia(clip), SKClipOperation.Intersect, antialias: true);
                    DrawAll(canvas, paint, group.Children);
                    canvas.RestoreToCount(depth);
                    break;
                default: throw new InvalidOperationException($"A scene holds a {element.GetType().Name}, which has no pixel form; add one to PngWriter.");
            }
        }
    }

    private static void DrawStroke(SKCanvas canvas, SKPaint paint, ScenePath path, Colour colour, double width, bool butt, IReadOnlyList<double>? dash)
    {
        using SKPath outline = ToSkia(path);
        using SKPathEffect? effect = dash is null ? null : SKPathEffect.CreateDash([.. dash.Select(d => (float)d)], 0);
        paint.Style = SKPaintStyle.Stroke;
        paint.Color = ToSkia(colour);
        paint.StrokeWidth = (float)width;
        paint.StrokeCap = butt ? SKStrokeCap.Butt : SKStrokeCap.Round;
        paint.StrokeJoin = SKStrokeJoin.Round;
        paint.PathEffect = effect;
        canvas.DrawPath(outline, paint);
        paint.PathEffect = null;
    }

    private static void DrawFill(SKCanvas canvas, SKPaint paint, FillElement fill)
    {
        using SKPath outline = ToSkia(fill.Path);
        paint.Style = SKPaintStyle.Fill;
        paint.Color = ToSkia(fill.Colour);
        canvas.DrawPath(outline, paint);
    }

    private static void DrawImage(SKCanvas canvas, ImageElement image)
    {
        var info = new SKImageInfo(image.Columns, image.Rows, SKColorType.Rgba8888, SKAlphaType.Unpremul);
        using SKImage picture = SKImage.FromPixelCopy(info, image.Rgba);
        canvas.DrawImage(picture, ToSkia(image.Box), new SKSamplingOptions(SKFilterMode.Nearest));
    }

    private static SKPath ToSkia(ScenePath path)
    {
        var outline = new SKPath();
        IReadOnlyList<double> n = path.Numbers;
        int at = 0;
        foreach (PathStep step in path.Steps)
        {
            switch (step)
            {
                case PathStep.Move: outline.MoveTo((float)n[at], (float)n[at + 1]); at += 2; break;
                case PathStep.Line: outline.LineTo((float)n[at], (float)n[at + 1]); at += 2; break;
                case PathStep.Curve:
                    outline.CubicTo((float)n[at], (float)n[at + 1], (float)n[at + 2], (float)n[at + 3], (float)n[at + 4], (float)n[at + 5]);
                    at += 6;
                    break;
                default: outline.Close(); break;
            }
        }

        return outline;
    }

    private static SKColor ToSkia(Colour colour) => new(colour.Red, colour.Green, colour.Blue);

    private static SKRect ToSkia(Box box) => new((float)box.Left, (float)box.Top, (float)box.Right, (float)box.Bottom);

    // The encoder has no setting for the resolution, so its chunk (pHYs, right after IHDR) is put in here; print shops read it.
    private static void WriteWithResolution(ReadOnlySpan<byte> png, double? pixelsPerMillimetre, Stream stream)
    {
        if (pixelsPerMillimetre is not { } scale)
        {
            stream.Write(png);
            return;
        }

        Span<byte> chunk = stackalloc byte[21];
        uint perMetre = (uint)Math.Round(scale * 1_000);
        BinaryPrimitives.WriteUInt32BigEndian(chunk, 9);
        "pHYs"u8.CopyTo(chunk[4..]);
        BinaryPrimitives.WriteUInt32BigEndian(chunk[8..], perMetre);
        BinaryPrimitives.WriteUInt32BigEndian(chunk[12..], perMetre);
        chunk[16] = 1;
        BinaryPrimitives.WriteUInt32BigEndian(chunk[17..], Crc32(chunk[4..17]));
        stream.Write(png[..HeaderLength]);
        stream.Write(chunk);
        stream.Write(png[HeaderLength..]);
    }

    // CRC-32/ISO-HDLC, as the PNG specification asks (ISO/IEC 15948, annex D).
    private static uint Crc32(ReadOnlySpan<byte> bytes)
    {
        uint crc = uint.MaxValue;
        foreach (byte b in bytes)
        {
            crc ^= b;
            for (int bit = 0; bit < 8; bit++) crc = (crc & 1) != 0 ? (crc >> 1) ^ 0xEDB88320u : crc >> 1;
        }

        return ~crc;
    }
}
