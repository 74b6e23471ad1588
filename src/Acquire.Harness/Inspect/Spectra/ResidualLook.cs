namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Another walk: what of a vertical does not repeat with the sweep, and whether it draws its sweep backwards during the retrace.</summary>
internal sealed class ResidualLook : SweepSection
{
    /// <summary>Fewest sweeps of which something is left that tells.</summary>
    public const int LeastSweeps = 3;

    private const int MostPoints = 1 << 18;

    private readonly IReadOnlyList<VerticalProfile> _profiles;
    private readonly int _channelCount;
    private readonly long _firstPosition;
    private readonly int _scansPerPoint;
    private readonly int _points;
    private readonly int _sweepCount;
    private readonly double[][] _residuals;
    private readonly double[] _squares;
    private readonly int[] _filled;
    private readonly Correlation[] _retrace;
    private readonly double _low, _high;

    /// <summary>Begins at scan 0.</summary>
    /// <param name="sweeps">Complete sweeps, at least one.</param>
    /// <param name="profiles">Means of the verticals by place.</param>
    /// <param name="channelCount">Words in a scan.</param>
    /// <param name="lowCode">Lower end of the sweeps, in codes.</param>
    /// <param name="highCode">Upper end of the sweeps, in codes.</param>
    public ResidualLook(IReadOnlyList<SweepRow> sweeps, IReadOnlyList<VerticalProfile> profiles, int channelCount, double lowCode, double highCode)
        : base(sweeps, channelCount)
    {
        _profiles = profiles;
        _channelCount = channelCount;
        _sweepCount = sweeps.Count;
        _firstPosition = sweeps[0].Info.StartPosition;
        long scans = sweeps[^1].Info.EndPosition - _firstPosition;
        _scansPerPoint = (int)((scans + MostPoints - 1) / MostPoints);
        _points = (int)((scans + _scansPerPoint - 1) / _scansPerPoint);
        _residuals = [.. profiles.Select(_ => new double[_points])];
        _squares = new double[profiles.Count];
        _filled = new int[_points];
        _retrace = [.. profiles.Select(_ => new Correlation())];
        // The outer tenths are where the ramp stands and where it turns: no retrace to be sure of.
        double margin = (highCode - lowCode) / 10;
        _low = lowCode + margin;
        _high = highCode - margin;
    }

    /// <summary>Squared correlation of a vertical during retrace with its own sweep at the same ramp codes.</summary>
    /// <param name="vertical">0 is the first vertical.</param>
    /// <returns>The correlation, the scans it rests on, and the standard deviation of the sweep's codes there.</returns>
    public (double Squared, long Scans, double SpreadCodes) Retrace(int vertical) => _retrace[vertical].Result;

    /// <summary>Sum of the squares of what is left of a vertical without its mean by place.</summary>
    /// <param name="vertical">0 is the first vertical.</param>
    public double SquaresLeft(int vertical) => _squares[vertical];

    /// <summary>Lines of what is left of a vertical without its mean by place, strongest first: smaller than the waves that they are of, and not quite at their frequencies.</summary>
    /// <param name="vertical">0 is the first vertical.</param>
    public IReadOnlyList<SpectralLine> Lines(int vertical)
    {
        if (_points < 64 || _sweepCount < LeastSweeps) return [];
        PowerSpectrum spectrum = new(_points);
        double[] residual = new double[_points];
        int filled = 0;
        for (int i = 0; i < residual.Length; i++)
        {
            if (_filled[i] == 0) continue;
            residual[i] = _residuals[vertical][i] / _filled[i];
            filled++;
        }

        spectrum.Add(residual);
        // Retraces hold nothing. What the mean over the sweeps took of each line is left to WaveFit.
        double share = (double)filled / residual.Length;
        return [.. LineSearch.Find(spectrum, _scansPerPoint)
            .Where(line => _scansPerPoint == 1 || line.CyclesPerScan <= 0.4 / _scansPerPoint)
            .Select(line => line with { Amplitude = line.Amplitude / share })];
    }

    /// <inheritdoc/>
    protected override void Inside(SweepRow sweep, long offset, ReadOnlySpan<ushort> scans)
    {
        long position = sweep.Info.StartPosition - _firstPosition + offset;
        for (int i = 0; i < scans.Length; i += _channelCount, position++)
        {
            int point = (int)(position / _scansPerPoint);
            if (point >= _points) return;
            bool valid = false;
            for (int v = 0; v < _profiles.Count; v++)
            {
                VerticalProfile profile = _profiles[v];
                ushort code = scans[i + profile.Channel];
                if (!profile.TryMean(profile.PlaceOf(SweepIndex, offset + (i / _channelCount), scans[i + profile.RampChannel]), code, out double mean)) continue;
                double left = code - mean;
                _residuals[v][point] += left;
                _squares[v] += left * left;
                valid = true;
            }

            if (valid) _filled[point]++;
        }
    }

    /// <inheritdoc/>
    protected override void Between(SweepRow before, ReadOnlySpan<ushort> scans)
    {
        for (int i = 0; i < scans.Length; i += _channelCount)
        {
            for (int v = 0; v < _profiles.Count; v++)
            {
                VerticalProfile profile = _profiles[v];
                ushort ramp = scans[i + profile.RampChannel], code = scans[i + profile.Channel];
                if (ramp > _low && ramp < _high && profile.TryMean(ramp, code, out double mean)) _retrace[v].Add(mean, code);
            }
        }
    }
}
