namespace Acquire.Sources.Synthetic;

/// <summary>Turns a voltage, counted in codes, into a code.</summary>
/// <remarks>Ideal transitions lie half way between codes: a level of exactly k reads k, and code and level differ by at most half a code.</remarks>
internal sealed class ConverterTable
{
    private readonly ConverterModel _model;
    private readonly int _fullCode;
    private readonly double _low, _high;
    private readonly int _mask;

    /// <summary>Level from which each code appears, rising; null for an ideal converter.</summary>
    private readonly double[]? _transitions;

    public ConverterTable(SyntheticOptions options)
    {
        _model = options.Converter;
        _fullCode = options.Format.FullCode;
        _low = _model.ClampLow * _fullCode;
        _high = _model.ClampHigh * _fullCode;
        _mask = -1 << _model.ZeroBits;
        if (!_model.IsIdeal) _transitions = BuildTransitions(options.Seed);
    }

    public ushort Convert(double levelCodes)
    {
        double level = Math.Clamp(levelCodes, _low, _high);
        level = (level * _model.Gain) + _model.OffsetCodes;
        int code = (int)Math.Clamp(Math.Floor(level + 0.5), 0, _fullCode);
        if (_transitions is { } transitions)
        {
            while (code < _fullCode && level >= transitions[code + 1]) code++;
            while (code > 0 && level < transitions[code]) code--;
        }

        return (ushort)(code & _mask);
    }

    private double[] BuildTransitions(ulong seed)
    {
        SeedStream widths = new(seed, SeedStream.Effect.BinWidths);
        SeedStream missing = new(seed, SeedStream.Effect.MissingCodes);
        SeedStream shape = new(seed, SeedStream.Effect.IntegralShape);
        int codes = _fullCode + 1;
        bool[] isMissing = ChooseMissing(missing, codes);
        double[] transitions = new double[codes];
        double level = -0.5, sum = 0;
        double[] width = new double[codes];
        for (int k = 1; k < codes - 1; k++)
        {
            width[k] = isMissing[k] ? 0 : Math.Max(0, 1 + (_model.WidthSpreadCodes * widths.Normal(k)));
            sum += width[k];
        }

        // The end points stay where they are (terminal-based line), so gain and offset are not part of the pattern.
        double scale = sum > 0 ? (codes - 2) / sum : 1;
        transitions[0] = double.NegativeInfinity;
        level = 0.5;
        for (int k = 1; k < codes; k++)
        {
            double x = (double)k / codes;
            double bend = _model.BendCodes * 0.5
                * (PortableMath.SinTurns(x) + PortableMath.SinTurns((2 * x) + shape.Uniform(0)) - PortableMath.SinTurns(shape.Uniform(0)));
            transitions[k] = Math.Max(level + bend, k > 1 ? transitions[k - 1] : double.NegativeInfinity);
            level += width[k] * scale;
        }

        return transitions;
    }

    private bool[] ChooseMissing(SeedStream stream, int codes)
    {
        bool[] chosen = new bool[codes];
        int wanted = Math.Min(_model.MissingCodes, codes - 2);
        for (long draw = 0; wanted > 0; draw++)
        {
            int code = 1 + (int)(stream.Bits(draw) % (ulong)(codes - 2));
            if (chosen[code]) continue;
            chosen[code] = true;
            wanted--;
        }

        return chosen;
    }
}
