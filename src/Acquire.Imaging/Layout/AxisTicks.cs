namespace Acquire.Imaging.Layout;

/// <summary>Grid lines of one axis on round values: steps of 1, 2 or 5 times a power of ten.</summary>
internal sealed class AxisTicks
{
    // Longer labels mean a narrow span far from zero; then the axis counts from a round origin.
    private const int LongestLabel = 8;

    private AxisTicks(string unit, double origin, string originText, IReadOnlyList<Tick> ticks, IReadOnlyList<double> fine)
    {
        Unit = unit;
        Origin = origin;
        OriginText = originText;
        Ticks = ticks;
        Fine = fine;
    }

    /// <summary>Unit of the labels, with its prefix.</summary>
    public string Unit { get; }

    /// <summary>What the labels count from, in the unit without prefix; mostly 0.</summary>
    public double Origin { get; }

    /// <summary>The origin as printed; empty when it is 0.</summary>
    public string OriginText { get; }

    public IReadOnlyList<Tick> Ticks { get; }

    /// <summary>Positions of the lines between the numbered ones.</summary>
    public IReadOnlyList<double> Fine { get; }

    /// <summary>Plans the lines of an axis.</summary>
    /// <param name="low">Lower end in the unit.</param>
    /// <param name="high">Upper end in the unit.</param>
    /// <param name="unit">Unit without prefix.</param>
    /// <param name="pixels">Length of the axis.</param>
    /// <param name="minFinePixels">Closest that two fine lines may be.</param>
    /// <param name="room">Pixels that a label needs along the axis, clearance included.</param>
    public static AxisTicks Plan(double low, double high, string unit, double pixels, double minFinePixels, Func<string, double> room)
    {
        AxisTicks plain = Plan(low, high, 0, unit, pixels, minFinePixels, room);
        if (plain.Ticks.All(t => t.Label.Length <= LongestLabel)) return plain;
        double span = high - low, grain = Math.Pow(10, Math.Ceiling(Math.Log10(span)));
        double origin = Math.Round((low + high) / 2 / grain) * grain;
        return origin == 0 ? plain : Plan(low, high, origin, unit, pixels, minFinePixels, room);
    }

    private static AxisTicks Plan(double low, double high, double origin, string unit, double pixels, double minFinePixels, Func<string, double> room)
    {
        double span = high - low, from = low - origin, to = high - origin;
        int exponent = Quantity.PrefixExponent(Math.Max(Math.Abs(from), Math.Abs(to)), unit);
        double scale = Math.Pow(10, exponent);
        Step step = Step.AtLeast(span * 10 / pixels);
        while (true)
        {
            List<Tick> ticks = Lines(from, to, step, scale, origin);
            double widest = ticks.Count == 0 ? 0 : ticks.Max(t => room(t.Label));
            if (ticks.Count < 2 || step.Size * pixels / span >= widest)
            {
                // A sparse axis still needs two numbers to be read; one step finer is tried by the caller's larger sheet only.
                string originText = origin == 0 ? "" : Quantity.Significant(origin, unit, 12);
                return new AxisTicks(Quantity.PrefixedUnit(exponent, unit), origin, originText, ticks, FineLines(from, to, step, origin, pixels / span, minFinePixels));
            }

            step = step.Next();
        }
    }

    private static List<Tick> Lines(double from, double to, Step step, double scale, double origin)
    {
        var ticks = new List<Tick>();
        // A rounding error must not lose the line at the very end.
        double slack = (to - from) * 1e-9;
        long first = (long)Math.Ceiling((from - slack) / step.Size), last = (long)Math.Floor((to + slack) / step.Size);
        int decimals = Quantity.DecimalsFor(step.Size / scale);
        for (long i = first; i <= last; i++)
        {
            double value = step.Multiple(i);
            string label = Quantity.Number(value / scale, decimals);
            ticks.Add(new Tick(value + origin, origin != 0 && value > 0 ? "+" + label : label));
        }

        return ticks;
    }

    private static List<double> FineLines(double from, double to, Step step, double origin, double pixelsPerUnit, double minFinePixels)
    {
        var fine = new List<double>();
        foreach (int parts in step.Divisions)
        {
            double size = step.Size / parts;
            if (size * pixelsPerUnit < minFinePixels) continue;
            double slack = (to - from) * 1e-9;
            for (long i = (long)Math.Ceiling((from - slack) / size); i <= (long)Math.Floor((to + slack) / size); i++)
            {
                if (i % parts != 0) fine.Add((i * size) + origin);
            }

            break;
        }

        return fine;
    }

    // 1, 2 or 5 times a power of ten.
    private readonly record struct Step(int Digit, int Exponent)
    {
        public double Size => Multiple(1);

        // Fine lines fall on round values too: 1 in tenths or fifths, 2 in quarters or halves, 5 in fifths.
        public int[] Divisions => Digit switch { 1 => [10, 5, 2], 2 => [4, 2], _ => [5] };

        // Dividing by an exact power of ten gives the nearest double to a decimal fraction; multiplying by 0.1 would not.
        public double Multiple(long count) => Exponent < 0 ? count * Digit / Math.Pow(10, -Exponent) : count * Digit * Math.Pow(10, Exponent);

        public Step Next() => Digit switch { 1 => this with { Digit = 2 }, 2 => this with { Digit = 5 }, _ => new Step(1, Exponent + 1) };

        public static Step AtLeast(double size)
        {
            var step = new Step(1, (int)Math.Floor(Math.Log10(size)));
            while (step.Size < size) step = step.Next();
            return step;
        }
    }
}
