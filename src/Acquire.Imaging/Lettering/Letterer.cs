using System.Text;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Lettering;

/// <summary>Lays texts out in drawn letters of one pen width.</summary>
internal static class Letterer
{
    // Below this height in pixels stems and heights go to whole pixels, or thin strokes would blur over two.
    private const double SnapBelow = 26;
    private const double CapitalUnits = 9, SmallUnits = 6, TailUnits = 3;

    /// <summary>Width of the pen for letters of a height, in pixels; a tenth of it, and never below one pixel.</summary>
    public static double PenFor(double height) => Math.Max(1, height / 10);

    /// <summary>Lays a text out.</summary>
    /// <param name="text">Any text; what has no glyph becomes a box, line ends become spaces.</param>
    /// <param name="height">Height of capitals over all, in pixels.</param>
    public static LaidText Lay(string text, double height)
    {
        var scale = new Scale(height);
        var path = new ScenePath();
        double left = double.MaxValue, right = double.MinValue, top = double.MaxValue, bottom = double.MinValue;
        double end = Place(text, scale, (glyph, origin) =>
        {
            if (glyph.Path.IsEmpty) return;
            double stretch = scale.Stretch(glyph.Width);
            var placed = new ScenePath();
            placed.Append(glyph.Path, (x, y) => (origin + (x * stretch), scale.Up(y)));
            Box reach = placed.Bounds();
            left = Math.Min(left, reach.Left);
            right = Math.Max(right, reach.Right);
            top = Math.Min(top, reach.Top);
            bottom = Math.Max(bottom, reach.Bottom);
            path.Append(placed);
        });

        double half = scale.Pen / 2;
        Box ink = path.IsEmpty ? new Box(0, 0, 0, 0) : new Box(left - half, top - half, right + half, bottom + half);
        return new LaidText(text, end, ink, scale.Pen, path, scale.Snaps);
    }

    /// <summary>How far a text reaches to the right, in pixels.</summary>
    public static double Measure(string text, double height)
    {
        return Place(text, new Scale(height), static (_, _) => { });
    }

    /// <summary>The text itself where it fits; otherwise its beginning and an ellipsis; empty where not even that fits.</summary>
    public static string Shorten(string text, double height, double maxWidth)
    {
        if (Measure(text, height) <= maxWidth) return text;
        Rune[] runes = [.. text.EnumerateRunes()];
        for (int length = runes.Length - 1; length > 0; length--)
        {
            string shorter = string.Concat(runes.Take(length).Select(r => r.ToString())).TrimEnd(' ', ',', ';', ':') + "…";
            if (Measure(shorter, height) <= maxWidth) return shorter;
        }

        return Measure("…", height) <= maxWidth ? "…" : "";
    }

    /// <summary>Breaks a text at spaces into lines that fit; the last one is shortened when there are too many.</summary>
    public static List<string> Wrap(string text, double height, double maxWidth, int maxLines)
    {
        var lines = new List<string>();
        string rest = text.Trim();
        while (rest.Length > 0 && lines.Count < maxLines)
        {
            if (lines.Count == maxLines - 1 || Measure(rest, height) <= maxWidth)
            {
                lines.Add(Shorten(rest, height, maxWidth));
                break;
            }

            int cut = FirstBreak(rest, height, maxWidth);
            lines.Add(Shorten(rest[..cut].TrimEnd(), height, maxWidth));
            rest = rest[cut..].TrimStart();
        }

        return lines;
    }

    // The last space whose line still fits; a single word that is too long is cut inside, at a whole character.
    private static int FirstBreak(string text, double height, double maxWidth)
    {
        int best = 0;
        for (int space = text.IndexOf(' ', StringComparison.Ordinal); space > 0; space = text.IndexOf(' ', space + 1))
        {
            if (Measure(text[..space], height) > maxWidth) break;
            best = space;
        }

        if (best > 0) return best;
        int cut = Rune.GetRuneAt(text, 0).Utf16SequenceLength;
        while (cut < text.Length)
        {
            int next = cut + (Rune.TryGetRuneAt(text, cut, out Rune rune) ? rune.Utf16SequenceLength : 1);
            if (Measure(text[..next], height) > maxWidth) break;
            cut = next;
        }

        return cut;
    }

    // Walks along the baseline; the first stroke's outline begins at 0, the result is where the last one ends.
    private static double Place(string text, Scale scale, Action<Glyph, double> place)
    {
        double edge = 0, room = 0;
        bool isFirst = true;
        foreach (Glyph glyph in Glyphs(text))
        {
            double origin = isFirst ? scale.Pen / 2 : edge + scale.Between(room + glyph.Left);
            place(glyph, origin);
            edge = origin + (glyph.Width * scale.Stretch(glyph.Width));
            room = glyph.Right;
            isFirst = false;
        }

        return isFirst ? 0 : edge + (scale.Pen / 2);
    }

    private static IEnumerable<Glyph> Glyphs(string text)
    {
        Glyph? pending = null;
        Rune letter = default;
        foreach (Rune rune in text.EnumerateRunes())
        {
            if (pending is not null && AccentTable.TryCombine(letter, pending, rune, out Glyph combined))
            {
                pending = combined;
                continue;
            }

            if (pending is not null) yield return pending;
            letter = Rune.IsWhiteSpace(rune) && !GlyphTable.TryGet(rune, out _) ? new Rune(' ') : rune;
            pending = GlyphTable.TryGet(letter, out Glyph glyph) ? glyph : GlyphTable.Placeholder;
        }

        if (pending is not null) yield return pending;
    }

    // From units to pixels: the pen's outline stands on the baseline and reaches up to the height.
    private readonly struct Scale
    {
        private readonly double _unit, _capital, _small, _tail;

        public Scale(double height)
        {
            Pen = PenFor(height);
            Snaps = height < SnapBelow;
            if (Snaps) height = Math.Round(height);
            _capital = height - Pen;
            _unit = _capital / CapitalUnits;
            _small = Snaps ? Math.Round((_unit * SmallUnits) + Pen) - Pen : _unit * SmallUnits;
            _tail = Snaps ? Math.Max(1, Math.Round(_unit * TailUnits)) : _unit * TailUnits;
        }

        public double Pen { get; }

        public bool Snaps { get; }

        // Between two letters at least one pixel stays white.
        public double Between(double units) => !Snaps ? units * _unit : units == 0 ? 0 : Math.Max(Math.Ceiling(Pen) + 1, Math.Round(units * _unit));

        public double Stretch(double width) => Snaps && width > 0 ? Math.Max(1, Math.Round(width * _unit)) / width : _unit;

        public double Up(double y)
        {
            double up = y switch
            {
                < 0 => y * _tail / TailUnits,
                <= SmallUnits => y * _small / SmallUnits,
                <= CapitalUnits => _small + ((y - SmallUnits) * (_capital - _small) / (CapitalUnits - SmallUnits)),
                _ => _capital + ((y - CapitalUnits) * _unit),
            };
            return -up - (Pen / 2);
        }
    }
}
