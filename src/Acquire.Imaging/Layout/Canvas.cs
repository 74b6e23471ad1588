using Acquire.Imaging.Lettering;
using Acquire.Imaging.Scenes;
using Acquire.Painting;

namespace Acquire.Imaging.Layout;

/// <summary>Collects the elements of a scene.</summary>
internal sealed class Canvas(SheetStyle style, SheetMetrics metrics)
{
    private List<SceneElement> _current = [];

    public SheetStyle Style { get; } = style;

    public SheetMetrics Metrics { get; } = metrics;

    public IReadOnlyList<SceneElement> Elements => _current;

    public void Add(SceneElement element) => _current.Add(element);

    public void Fill(ScenePath path, Colour colour) => Add(new FillElement(path, colour));

    public void Stroke(ScenePath path, Colour colour, double width, IReadOnlyList<double>? dash = null, bool butt = false)
    {
        if (!path.IsEmpty) Add(new StrokeElement(path, colour, width, dash, butt));
    }

    /// <summary>A level or upright line that fills whole pixels where its pen does.</summary>
    public void Rule(double x0, double y0, double x1, double y1, Colour colour, double width)
    {
        if (x0 == x1) x0 = x1 = Crisp(x0, width);
        if (y0 == y1) y0 = y1 = Crisp(y0, width);
        Stroke(ScenePath.Line(x0, y0, x1, y1), colour, width, butt: true);
    }

    public void Frame(Box box, Colour colour, double width) => Stroke(
        ScenePath.Rectangle(new Box(Crisp(box.Left, width), Crisp(box.Top, width), Crisp(box.Right, width), Crisp(box.Bottom, width))), colour, width);

    /// <summary>Draws a text and tells what its ink covers.</summary>
    /// <param name="text">The wording.</param>
    /// <param name="x">Where its left end, middle or right end lies.</param>
    /// <param name="baseline">Height of the feet of its letters.</param>
    /// <param name="height">Height of its capitals.</param>
    /// <param name="colour">Ink.</param>
    /// <param name="align">What lies at x.</param>
    /// <param name="onPaper">Whether paper is laid under it first, so that no line runs through it.</param>
    public Box Text(string text, double x, double baseline, double height, Colour colour, Align align = Align.Left, bool onPaper = false)
    {
        if (text.Length == 0) return new Box(x, baseline, x, baseline);
        LaidText laid = Letterer.Lay(text, height);
        double left = align switch { Align.Left => x, Align.Centre => x - (laid.Advance / 2), _ => x - laid.Advance };
        TextElement element = laid.At(left, baseline, colour);
        if (onPaper) Fill(ScenePath.Rectangle(element.Box.Inflate(height * 0.3)), Style.Paper);
        Add(element);
        return element.Box;
    }

    /// <summary>Puts what the body draws into a group.</summary>
    public void Group(string? title, Action body, Box? clip = null, Box? symbol = null)
    {
        List<SceneElement> outer = _current;
        _current = [];
        body();
        outer.Add(new GroupElement(title, _current, clip, symbol));
        _current = outer;
    }

    private static double Crisp(double at, double width)
    {
        double pen = Math.Round(width);
        return pen % 2 == 0 ? Math.Round(at) : Math.Floor(at) + 0.5;
    }
}
