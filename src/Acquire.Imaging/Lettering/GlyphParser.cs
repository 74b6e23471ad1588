using System.Globalization;
using Acquire.Imaging.Scenes;

namespace Acquire.Imaging.Lettering;

// A glyph is written as   sides width | stroke | stroke ...
//
//   sides    two letters for the room left and right: s upright stem, o round, v slanted or open, n none
//   width    in units
//   stroke   points "x,y" joined by straight lines; "~a" after a point rounds that corner, taking a units off both
//            lines, "~a/b" takes a off the incoming and b off the outgoing line; a final z closes the stroke
//   @x,y     a dot
/// <summary>Reads the notation in which glyphs are written down.</summary>
internal static class GlyphParser
{
    // Pull of the corner that turns a cubic into a quarter ellipse.
    private const double RoundPull = 0.5522847498;
    private const double DotReach = 0.16;

    public static Glyph Parse(string sides, double width, IEnumerable<string> strokes)
    {
        var path = new ScenePath();
        foreach (string stroke in strokes) AddStroke(path, stroke.Trim());
        return new Glyph(width, Side(sides[0]), Side(sides[1]), path);
    }

    private static double Side(char kind) => kind switch
    {
        's' => 1.45,
        'o' => 1.25,
        'v' => 0.85,
        'n' => 0.5,
        _ => throw new InvalidOperationException($"Side '{kind}' is not one of s, o, v, n."),
    };

    private static void AddStroke(ScenePath path, string stroke)
    {
        if (stroke[0] == '@')
        {
            Corner dot = ParseCorner(stroke[1..]);
            // A short cross: every renderer gives its round ends, which is not sure of a line without length.
            path.MoveTo(dot.X - DotReach, dot.Y).LineTo(dot.X + DotReach, dot.Y);
            path.MoveTo(dot.X, dot.Y - DotReach).LineTo(dot.X, dot.Y + DotReach);
            return;
        }

        string[] words = stroke.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        bool closed = words[^1] is "z";
        List<Corner> corners = [.. words.Take(closed ? words.Length - 1 : words.Length).Select(ParseCorner)];
        AddRounded(path, corners, closed);
    }

    private static void AddRounded(ScenePath path, List<Corner> corners, bool closed)
    {
        int count = corners.Count;
        FitTrims(corners, closed);
        for (int i = 0; i < count; i++)
        {
            Corner at = corners[i];
            bool isEnd = !closed && (i == 0 || i == count - 1);
            Corner before = corners[(i + count - 1) % count], after = corners[(i + 1) % count];
            (double startX, double startY) = isEnd ? (at.X, at.Y) : Towards(at, before, at.TrimIn);
            (double endX, double endY) = isEnd ? (at.X, at.Y) : Towards(at, after, at.TrimOut);
            if (i > 0) path.LineTo(startX, startY);
            else path.MoveTo(startX, startY);

            if (isEnd || (at.TrimIn == 0 && at.TrimOut == 0)) continue;
            double pull = 1 - RoundPull;
            path.CurveTo(
                at.X + ((startX - at.X) * pull), at.Y + ((startY - at.Y) * pull),
                at.X + ((endX - at.X) * pull), at.Y + ((endY - at.Y) * pull), endX, endY);
        }

        if (closed) path.Close();
    }

    // Two roundings may meet on a line but not overlap; both give way in proportion.
    private static void FitTrims(List<Corner> corners, bool closed)
    {
        int count = corners.Count;
        for (int i = 0; i < (closed ? count : count - 1); i++)
        {
            int next = (i + 1) % count;
            Corner a = corners[i], b = corners[next];
            double length = Math.Sqrt(((a.X - b.X) * (a.X - b.X)) + ((a.Y - b.Y) * (a.Y - b.Y)));
            double trimOut = !closed && i == 0 ? 0 : a.TrimOut, trimIn = !closed && next == count - 1 ? 0 : b.TrimIn;
            double share = trimOut + trimIn <= length ? 1 : length / (trimOut + trimIn);
            corners[i] = a with { TrimOut = trimOut * share };
            corners[next] = corners[next] with { TrimIn = trimIn * share };
        }
    }

    private static (double X, double Y) Towards(Corner from, Corner to, double distance)
    {
        double dx = to.X - from.X, dy = to.Y - from.Y, length = Math.Sqrt((dx * dx) + (dy * dy));
        return length == 0 ? (from.X, from.Y) : (from.X + (dx / length * distance), from.Y + (dy / length * distance));
    }

    private static Corner ParseCorner(string word)
    {
        string[] parts = word.Split('~');
        string[] point = parts[0].Split(',');
        string[] trims = parts.Length > 1 ? parts[1].Split('/') : ["0"];
        return new Corner(Number(point[0]), Number(point[1]), Number(trims[0]), Number(trims[^1]));
    }

    private static double Number(string text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);

    private readonly record struct Corner(double X, double Y, double TrimIn, double TrimOut);
}
