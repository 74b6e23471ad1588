namespace Acquire.Imaging.Scenes;

/// <summary>An outline of straight lines and cubic curves, in sheet pixels.</summary>
internal sealed class ScenePath
{
    private readonly List<PathStep> _steps = [];
    private readonly List<double> _numbers = [];

    public IReadOnlyList<PathStep> Steps => _steps;

    /// <summary>x and y of every point in order: one point for a move or a line, three for a curve, none for a close.</summary>
    public IReadOnlyList<double> Numbers => _numbers;

    public bool IsEmpty => _steps.Count == 0;

    public static ScenePath Line(double x0, double y0, double x1, double y1) => new ScenePath().MoveTo(x0, y0).LineTo(x1, y1);

    public static ScenePath Rectangle(Box box) => new ScenePath()
        .MoveTo(box.Left, box.Top).LineTo(box.Right, box.Top).LineTo(box.Right, box.Bottom).LineTo(box.Left, box.Bottom).Close();

    public static ScenePath Circle(double x, double y, double radius)
    {
        // Four cubic quarters; the constant keeps the radius within 0.03 %.
        double k = 0.5522847498 * radius;
        return new ScenePath().MoveTo(x + radius, y)
            .CurveTo(x + radius, y + k, x + k, y + radius, x, y + radius)
            .CurveTo(x - k, y + radius, x - radius, y + k, x - radius, y)
            .CurveTo(x - radius, y - k, x - k, y - radius, x, y - radius)
            .CurveTo(x + k, y - radius, x + radius, y - k, x + radius, y)
            .Close();
    }

    public ScenePath MoveTo(double x, double y) => Add(PathStep.Move, x, y);

    public ScenePath LineTo(double x, double y) => Add(PathStep.Line, x, y);

    public ScenePath CurveTo(double x1, double y1, double x2, double y2, double x3, double y3)
    {
        _numbers.AddRange([x1, y1, x2, y2, x3, y3]);
        _steps.Add(PathStep.Curve);
        return this;
    }

    public ScenePath Close()
    {
        _steps.Add(PathStep.Close);
        return this;
    }

    public void Append(ScenePath other)
    {
        _steps.AddRange(other._steps);
        _numbers.AddRange(other._numbers);
    }

    /// <summary>Adds the steps of another path with every point mapped.</summary>
    public void Append(ScenePath other, Func<double, double, (double X, double Y)> map)
    {
        _steps.AddRange(other._steps);
        for (int i = 0; i < other._numbers.Count; i += 2)
        {
            (double x, double y) = map(other._numbers[i], other._numbers[i + 1]);
            _numbers.Add(x);
            _numbers.Add(y);
        }
    }

    /// <summary>The rectangle around all points; control points of curves count, so it may be a little large.</summary>
    public Box Bounds()
    {
        double left = double.MaxValue, top = double.MaxValue, right = double.MinValue, bottom = double.MinValue;
        for (int i = 0; i < _numbers.Count; i += 2)
        {
            left = Math.Min(left, _numbers[i]);
            right = Math.Max(right, _numbers[i]);
            top = Math.Min(top, _numbers[i + 1]);
            bottom = Math.Max(bottom, _numbers[i + 1]);
        }

        return new Box(left, top, right, bottom);
    }

    private ScenePath Add(PathStep step, double x, double y)
    {
        _steps.Add(step);
        _numbers.Add(x);
        _numbers.Add(y);
        return this;
    }
}
