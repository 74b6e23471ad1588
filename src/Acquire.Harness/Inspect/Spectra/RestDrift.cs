namespace Acquire.Harness.Inspect.Spectra;

/// <summary>How the ramp drifts while it rests between sweeps: a line that is coupled directly does not.</summary>
internal sealed class RestDrift
{
    private const int MostScans = 4_096;
    private const int FewestScans = 16;

    private readonly double _nearCodes;
    private readonly ushort[] _ring = new ushort[MostScans];
    private long _between;
    private double _weightedSlopes, _weights, _levels;

    /// <summary>Begins with no rest.</summary>
    /// <param name="nearCodes">How near to the next sweep's start the ramp must be to be at rest, in codes.</param>
    public RestDrift(double nearCodes) => _nearCodes = nearCodes;

    /// <summary>Rests that were measured.</summary>
    public int Rests { get; private set; }

    /// <summary>Mean slope of the rests in codes per scan, long ones counting more; NaN where there is none.</summary>
    public double Slope => Rests == 0 ? double.NaN : _weightedSlopes / _weights;

    /// <summary>Standard deviation of <see cref="Slope"/> that noise alone gives, in codes per scan.</summary>
    /// <param name="noiseCodes">Standard deviation of the scan-to-scan noise.</param>
    public double SlopeNoise(double noiseCodes) => noiseCodes / Math.Sqrt(_weights);

    /// <summary>Mean code of the rests; NaN where there is none.</summary>
    public double Level => Rests == 0 ? double.NaN : _levels / Rests;

    /// <summary>A sweep begins or a gap comes: what was between sweeps is over.</summary>
    public void Clear() => _between = 0;

    /// <summary>Takes a code between sweeps.</summary>
    public void Add(ushort code) => _ring[_between++ % MostScans] = code;

    /// <summary>The next sweep begins.</summary>
    /// <param name="startCode">Its first code.</param>
    public void SweepBegins(ushort startCode)
    {
        // The retrace takes the first part; what is near the start from some scan on is rest, less a margin for the turn.
        int count = (int)Math.Min(_between, MostScans), rest = 0;
        while (rest < count && Math.Abs(At(rest) - startCode) <= _nearCodes) rest++;
        rest -= rest / 4;
        if (rest >= FewestScans)
        {
            double t = (rest - 1) / 2.0, squares = (double)rest * (((double)rest * rest) - 1) / 12, sum = 0, product = 0;
            for (int i = 0; i < rest; i++)
            {
                sum += At(i);
                product += At(i) * (t - i);
            }

            // Weighted by the sum of squares, as its noise is.
            _weightedSlopes += product;
            _weights += squares;
            _levels += sum / rest;
            Rests++;
        }

        Clear();
    }

    // 0 is the last code before the sweep.
    private double At(int back) => _ring[(_between - 1 - back) % MostScans];
}
