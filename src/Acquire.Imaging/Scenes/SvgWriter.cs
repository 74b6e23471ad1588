using System.Globalization;
using System.Text;
using System.Xml;
using Acquire.Painting;

namespace Acquire.Imaging.Scenes;

/// <summary>Writes a scene as SVG 1.1. Texts are paths, with their wording as title for screen readers.</summary>
internal static class SvgWriter
{
    private const string Namespace = "http://www.w3.org/2000/svg";

    public static void Write(Scene scene, Stream stream)
    {
        ArgumentNullException.ThrowIfNull(stream);
        // NewLineChars fixed: the platform's own line end would give other bytes on another machine.
        var settings = new XmlWriterSettings { Encoding = new UTF8Encoding(false), Indent = true, IndentChars = " ", NewLineChars = "\n", CloseOutput = false, CheckCharacters = true };
        using var xml = XmlWriter.Create(stream, settings);
        xml.WriteStartDocument();
        xml.WriteStartElement("svg", Namespace);
        xml.WriteAttributeString("width", Length(scene.Width, scene.PixelsPerMillimetre));
        xml.WriteAttributeString("height", Length(scene.Height, scene.PixelsPerMillimetre));
        xml.WriteAttributeString("viewBox", $"0 0 {Number(scene.Width)} {Number(scene.Height)}");
        xml.WriteAttributeString("role", "img");
        xml.WriteElementString("title", Namespace, Clean(scene.Title));
        xml.WriteElementString("desc", Namespace, Clean(scene.Description));
        WritePath(xml, ScenePath.Rectangle(new Box(0, 0, scene.Width, scene.Height)), () => Paint(xml, "fill", scene.Paper));
        int clipCount = 0;
        WriteAll(xml, scene.Elements, ref clipCount);
        xml.WriteEndElement();
        xml.WriteEndDocument();
    }

    private static void WriteAll(XmlWriter xml, IEnumerable<SceneElement> elements, ref int clipCount)
    {
        foreach (SceneElement element in elements)
        {
            switch (element)
            {
                case StrokeElement stroke: WriteStroke(xml, stroke); break;
                case FillElement fill: WritePath(xml, fill.Path, () => Paint(xml, "fill", fill.Colour)); break;
                case ImageElement image: WriteImage(xml, image); break;
                case TextElement text: WriteText(xml, text); break;
                case GroupElement group: WriteGroup(xml, group, ref clipCount); break;
                default: throw new InvalidOperationException($"A scene holds a {element.GetType().Name}, which has no SVG form; add one to SvgWriter.");
            }
        }
    }

    private static void WriteStroke(XmlWriter xml, StrokeElement stroke) => WritePath(xml, stroke.Path, () =>
    {
        xml.WriteAttributeString("fill", "none");
        Pen(xml, stroke.Colour, stroke.Width, stroke.Butt);
        if (stroke.Dash is { } dash) xml.WriteAttributeString("stroke-dasharray", string.Join(' ', dash.Select(Number)));
    });

    private static void WriteText(XmlWriter xml, TextElement text)
    {
        xml.WriteStartElement("g", Namespace);
        xml.WriteAttributeString("role", "img");
        xml.WriteElementString("title", Namespace, Clean(text.Text));
        if (!text.Path.IsEmpty)
        {
            WritePath(xml, text.Path, () =>
            {
                xml.WriteAttributeString("fill", "none");
                Pen(xml, text.Colour, text.Pen, butt: false);
            });
        }

        xml.WriteEndElement();
    }

    private static void WriteGroup(XmlWriter xml, GroupElement group, ref int clipCount)
    {
        string? clipName = null;
        if (group.Clip is { } clip)
        {
            clipName = $"clip{(++clipCount).ToString(CultureInfo.InvariantCulture)}";
            xml.WriteStartElement("clipPath", Namespace);
            xml.WriteAttributeString("id", clipName);
            WritePath(xml, ScenePath.Rectangle(clip), static () => { });
            xml.WriteEndElement();
        }

        xml.WriteStartElement("g", Namespace);
        if (clipName is not null) xml.WriteAttributeString("clip-path", $"url(#{clipName})");
        if (group.Title is { } title) xml.WriteElementString("title", Namespace, Clean(title));
        WriteAll(xml, group.Children, ref clipCount);
        xml.WriteEndElement();
    }

    private static void WriteImage(XmlWriter xml, ImageElement image)
    {
        xml.WriteStartElement("image", Namespace);
        xml.WriteAttributeString("x", Number(image.Box.Left));
        xml.WriteAttributeString("y", Number(image.Box.Top));
        xml.WriteAttributeString("width", Number(image.Box.Width));
        xml.WriteAttributeString("height", Number(image.Box.Height));
        xml.WriteAttributeString("preserveAspectRatio", "none");
        xml.WriteAttributeString("image-rendering", "pixelated");
        xml.WriteAttributeString("href", "data:image/png;base64," + Convert.ToBase64String(PngWriter.Encode(image.Rgba, image.Columns, image.Rows)));
        xml.WriteElementString("title", Namespace, Clean(image.Title));
        xml.WriteEndElement();
    }

    private static void WritePath(XmlWriter xml, ScenePath path, Action attributes)
    {
        xml.WriteStartElement("path", Namespace);
        attributes();
        xml.WriteAttributeString("d", Data(path));
        xml.WriteEndElement();
    }

    private static void Pen(XmlWriter xml, Colour colour, double width, bool butt)
    {
        Paint(xml, "stroke", colour);
        xml.WriteAttributeString("stroke-width", Number(width));
        xml.WriteAttributeString("stroke-linecap", butt ? "butt" : "round");
        xml.WriteAttributeString("stroke-linejoin", "round");
    }

    private static void Paint(XmlWriter xml, string attribute, Colour colour)
    {
        xml.WriteAttributeString(attribute, string.Create(CultureInfo.InvariantCulture, $"#{colour.Red:x2}{colour.Green:x2}{colour.Blue:x2}"));
    }

    private static string Data(ScenePath path)
    {
        var text = new StringBuilder();
        IReadOnlyList<double> numbers = path.Numbers;
        int at = 0;
        foreach (PathStep step in path.Steps)
        {
            (char letter, int count) = step switch
            {
                PathStep.Move => ('M', 2),
                PathStep.Line => ('L', 2),
                PathStep.Curve => ('C', 6),
                _ => ('Z', 0),
            };
            text.Append(letter);
            for (int i = 0; i < count; i++)
            {
                if (i > 0) text.Append(' ');
                text.Append(Number(numbers[at++]));
            }
        }

        return text.ToString();
    }

    private static string Length(double pixels, double? pixelsPerMillimetre) =>
        pixelsPerMillimetre is { } scale ? Number(pixels / scale) + "mm" : Number(pixels);

    // A thousandth of a pixel: below what any renderer shows, and it keeps files small.
    private static string Number(double value) => (Math.Round(value, 3) + 0.0).ToString("0.###", CultureInfo.InvariantCulture);

    // XML 1.0 has no place for control characters and lone surrogates; texts come from files of others.
    private static string Clean(string text)
    {
        var clean = new StringBuilder(text.Length);
        foreach (Rune rune in text.EnumerateRunes())
        {
            if (rune.Value is >= 0x20 and not (0xFFFE or 0xFFFF)) clean.Append(rune.ToString());
            else clean.Append(rune.Value is '\t' or '\n' or '\r' ? ' ' : '\uFFFD');
        }

        return clean.ToString();
    }
}
