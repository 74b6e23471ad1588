namespace Acquire.Harness.Inspect.Spectra;

/// <summary>How much of what a vertical does within sweeps the ramp does too, scan by scan.</summary>
/// <remarks>
/// Both are looked at without their cubic course and by their change over a short way, in which bows, kinks and the vertical's broad shape hardly show. Rising and
/// falling flanks are summed apart: what leaks is the same on both, a jump of the ramp beside a response is on one of them.
/// </remarks>
/// <param name="noiseCodes">Standard deviation of the ramp's noise in one point.</param>
internal sealed class Crosstalk(double noiseCodes)
{
    // Two columns and a half of a hundred: a broad response changes by more than noise over it, and a narrow one lies within.
    private const int WaysInASweep = 40;

    // Changes of both, products with the vertical's; on rising flanks, on falling ones.
    private readonly double[] _products = new double[2], _squares = new double[2];
    private double _rampSquares, _swing;
    private long _count;

    /// <summary>Takes the same stretch of both.</summary>
    /// <param name="ramp">Ramp without its course.</param>
    /// <param name="vertical">Vertical without its course, as many points.</param>
    public void Add(ReadOnlySpan<double> ramp, ReadOnlySpan<double> vertical)
    {
        int way = Math.Max(1, ramp.Length / WaysInASweep);
        double low = vertical[0], high = low;
        for (int i = way; i < ramp.Length; i++)
        {
            double r = ramp[i] - ramp[i - way], v = vertical[i] - vertical[i - way];
            int flank = v > 0 ? 0 : 1;
            _products[flank] += r * v;
            _squares[flank] += v * v;
            _rampSquares += r * r;
            low = Math.Min(low, vertical[i]);
            high = Math.Max(high, vertical[i]);
        }

        _count += ramp.Length - way;
        _swing = Math.Max(_swing, high - low);
    }

    /// <summary>The result.</summary>
    public CrosstalkReport Report()
    {
        double products = _products[0] + _products[1], squares = _squares[0] + _squares[1];
        if (!(squares > 0 && _rampSquares > 0 && _squares[0] > 0 && _squares[1] > 0)) return default;
        double gain = products / squares, explained = gain * products;
        // A change holds the noise of two points, and each point is in two changes, so that its weight in the products is at most twice the vertical's change.
        double noise = 2 * noiseCodes * noiseCodes * _count;
        double deviations = Math.Sqrt(explained / Math.Max(double.Epsilon, _rampSquares - explained) * _count / 2);
        double rising = _products[0] / _squares[0] / gain, falling = _products[1] / _squares[1] / gain;
        return new CrosstalkReport(gain, _swing, deviations, Math.Min(1, explained / Math.Max(explained, _rampSquares - noise)), Math.Min(rising, falling));
    }
}
