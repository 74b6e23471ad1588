namespace Acquire.Sweeps;

/// <summary>A level, a line that leaves it at some time, and hum of a known frequency with some of its harmonics, fitted together by least squares.</summary>
/// <remarks>
/// Of a sine wave whose frequency is known, the two parts are linear, and so are those of its harmonics (as in the three-parameter sine fit
/// of IEEE Std 1057, from memory). Level and hum are eliminated once per frequency: a place for the corner then costs the same however
/// long the stretch is.
/// </remarks>
internal sealed class HumFit
{
    public const int MaxPoints = 512;

    public const int MostHarmonics = 3;

    /// <summary>The level, both parts of each harmonic, the line.</summary>
    public const int MostUnknowns = 2 + (2 * MostHarmonics);

    private readonly double[] _codes = new double[MaxPoints];
    private readonly LineTotals[] _lines = new LineTotals[MaxPoints + 1];
    private readonly WaveTotals[] _waves = new WaveTotals[MostHarmonics * (MaxPoints + 1)];
    private readonly NormalEquations _sums = new(MostUnknowns);
    private LinePrior _prior;
    private double _mean;
    private double _shared;
    private int _harmonics;

    /// <summary>Means that the stretch was reduced to.</summary>
    public int Points { get; private set; }

    /// <summary>Scans in a mean.</summary>
    public double Block { get; private set; }

    /// <summary>Time of the first mean, from the scan that is time 0.</summary>
    public double First { get; private set; }

    /// <summary>Sum of the squares of the means from their own mean.</summary>
    public double Squares { get; private set; }

    /// <summary>Takes a stretch.</summary>
    /// <param name="history">The ramp.</param>
    /// <param name="origin">Its first scan.</param>
    /// <param name="points">How many means.</param>
    /// <param name="block">Scans in each.</param>
    /// <param name="zero">Scan that is time 0.</param>
    /// <param name="prior">What is known of the line's slope before, by the deviation of a scan.</param>
    public void Take(RampHistory history, long origin, int points, long block, long zero, in LinePrior prior)
    {
        (Points, Block, First) = (points, block, origin + ((block - 1) / 2.0) - zero);
        _prior = prior with { SlopeWeight = prior.SlopeWeight / block };
        history.Means(origin, block, _codes.AsSpan(0, points));
        _mean = 0;
        for (int i = 0; i < points; i++) _mean += _codes[i] / points;
        LineTotals sum = default;
        _lines[points] = sum;
        Squares = 0;
        for (int i = points - 1; i >= 0; i--)
        {
            double t = First + (i * Block), y = _codes[i] -= _mean;
            sum = new LineTotals(sum.N + 1, sum.T + t, sum.TT + (t * t), sum.Y + y, sum.TY + (t * y));
            _lines[i] = sum;
            Squares += y * y;
        }
    }

    /// <summary>Sets the hum.</summary>
    /// <param name="turn">Radians per scan.</param>
    /// <param name="harmonics">How many, the frequency itself being the first; 0 for no hum.</param>
    public void SetHum(double turn, int harmonics)
    {
        _harmonics = harmonics;
        _sums.Clear();
        _sums.Set(0, 0, Points);
        _sums.SetRight(0, _lines[0].Y);
        for (int k = 1; k <= harmonics; k++) SumWave(k, k * turn);
        for (int total = 1; total <= 2 * harmonics; total++)
        {
            (double c, double s) = Total(total * turn);
            if (total <= harmonics)
            {
                _sums.Set(0, CosineOf(total), c);
                _sums.Set(0, SineOf(total), s);
            }

            // Products of waves are waves of the sum and the difference of their frequencies.
            for (int k = Math.Max(1, total - harmonics); 2 * k <= total; k++) AddProducts(k, total - k, c / 2, s / 2);
            for (int k = 1; k + total <= harmonics; k++) AddDifferences(k, k + total, c / 2, s / 2);
        }

        for (int k = 1; k <= harmonics; k++) AddDifferences(k, k, Points / 2.0, 0);
        _shared = _sums.Explained(LineOf(harmonics));
    }

    /// <summary>What level, hum and line explain of the sum of squares, where the line leaves the level at a time.</summary>
    public double Explained(double at)
    {
        int place = Math.Clamp((int)Math.Floor((at - First) / Block) + 1, 0, Points), line = LineOf(_harmonics);
        LineTotals some = _lines[place];
        _sums.Set(0, line, some.T - (at * some.N));
        _sums.Set(line, line, some.TT - (2 * at * some.T) + (at * at * some.N) + _prior.SlopeWeight);
        _sums.SetRight(line, some.TY - (at * some.Y) + (_prior.SlopeWeight * _prior.Slope));
        for (int k = 1; k <= _harmonics; k++)
        {
            WaveTotals wave = _waves[((k - 1) * (MaxPoints + 1)) + place];
            _sums.Set(CosineOf(k), line, wave.TC - (at * wave.C));
            _sums.Set(SineOf(k), line, wave.TS - (at * wave.S));
        }

        return _shared + _sums.ExplainedByLast(line) - (_prior.SlopeWeight * _prior.Slope * _prior.Slope);
    }

    /// <summary>Code and slope of the line where it leaves the level at a time, without the hum.</summary>
    public (double Code, double Slope) LineAt(double at)
    {
        Explained(at);
        Span<double> found = stackalloc double[LineOf(_harmonics) + 1];
        _sums.Solve(found);
        return (_mean + found[0], found[^1]);
    }

    private static int CosineOf(int harmonic) => (2 * harmonic) - 1;

    private static int SineOf(int harmonic) => 2 * harmonic;

    private static int LineOf(int harmonics) => (2 * harmonics) + 1;

    private void SumWave(int harmonic, double turn)
    {
        double last = First + ((Points - 1) * Block), c = Math.Cos(turn * last), s = Math.Sin(turn * last), back = Math.Cos(turn * Block), aside = Math.Sin(turn * Block);
        double yc = 0, ys = 0;
        WaveTotals sum = default;
        Span<WaveTotals> waves = _waves.AsSpan((harmonic - 1) * (MaxPoints + 1), Points + 1);
        waves[Points] = sum;
        for (int i = Points - 1; i >= 0; i--)
        {
            double t = First + (i * Block), y = _codes[i];
            sum = new WaveTotals(sum.C + c, sum.S + s, sum.TC + (t * c), sum.TS + (t * s));
            waves[i] = sum;
            yc += y * c;
            ys += y * s;
            (c, s) = ((c * back) + (s * aside), (s * back) - (c * aside));
        }

        _sums.SetRight(CosineOf(harmonic), yc);
        _sums.SetRight(SineOf(harmonic), ys);
    }

    /// <summary>Sums of both parts of a wave over all means: a geometric series.</summary>
    private (double C, double S) Total(double turn)
    {
        double middle = turn * (First + ((Points - 1) * Block / 2)), half = turn * Block / 2, size = Math.Sin(Points * half) / Math.Sin(half);
        return (size * Math.Cos(middle), size * Math.Sin(middle));
    }

    private void AddProducts(int first, int second, double c, double s)
    {
        _sums.Add(CosineOf(first), CosineOf(second), c);
        _sums.Add(SineOf(first), SineOf(second), -c);
        _sums.Add(CosineOf(first), SineOf(second), s);
        if (first != second) _sums.Add(SineOf(first), CosineOf(second), s);
    }

    // Of the difference of the second's frequency and the first's.
    private void AddDifferences(int first, int second, double c, double s)
    {
        _sums.Add(CosineOf(first), CosineOf(second), c);
        _sums.Add(SineOf(first), SineOf(second), c);
        _sums.Add(CosineOf(first), SineOf(second), s);
        if (first != second) _sums.Add(SineOf(first), CosineOf(second), -s);
    }

    // From each mean on: how many, sums of time, its square, code, and time by code.
    private readonly record struct LineTotals(double N, double T, double TT, double Y, double TY);

    // From each mean on: sums of both parts of a wave, and of them by time.
    private readonly record struct WaveTotals(double C, double S, double TC, double TS);
}
