namespace Acquire.Harness.Inspect.Spectra;

/// <summary>A further look: the ramp's course in each sweep without the waves that it carries.</summary>
/// <remarks>
/// Cubic and waves are fitted together, by least squares: of a wave of five cycles a cubic alone would take more than half of its amplitude at a sweep's ends. A kink or a
/// staircase a cubic does not follow, but it passes each the same way in every sweep.
/// </remarks>
internal sealed class SweepCourses : SweepSection
{
    private const int MostWaves = 3, CubicTerms = 4;

    // With fewer cycles in a sweep a wave and a cubic are much the same.
    private const double LeastCycles = 3;

    private readonly int _rampChannel, _channelCount, _fullCode;
    private readonly double[] _cyclesPerScan, _cosine, _sine, _stepCosine, _stepSine;
    private readonly double[] _terms, _products, _right;
    private readonly List<SweepCourse> _found = [];
    private double _perScan;
    private int _count;

    /// <summary>Begins at scan 0.</summary>
    /// <param name="sweeps">Complete sweeps, at least one.</param>
    /// <param name="setup">Setup.</param>
    /// <param name="lines">Lines on the ramp, strongest first; the first three count.</param>
    public SweepCourses(IReadOnlyList<SweepRow> sweeps, Setup setup, IEnumerable<SpectralLine> lines)
        : base(sweeps, setup.Scan.ChannelCount)
    {
        _rampChannel = setup.Scan.RampChannel;
        _channelCount = setup.Scan.ChannelCount;
        _fullCode = setup.Scan.FullCode;
        // The fastest first: those that are too slow for a short sweep are then the last.
        _cyclesPerScan = [.. lines.Take(MostWaves).Select(line => line.CyclesPerScan).OrderDescending()];
        _cosine = new double[_cyclesPerScan.Length];
        _sine = new double[_cyclesPerScan.Length];
        _stepCosine = [.. _cyclesPerScan.Select(f => Math.Cos(2 * Math.PI * f))];
        _stepSine = [.. _cyclesPerScan.Select(f => Math.Sin(2 * Math.PI * f))];
        int most = CubicTerms + (2 * _cyclesPerScan.Length);
        _terms = new double[most];
        _products = new double[most * most];
        _right = new double[most];
    }

    /// <summary>The courses of the sweeps, in order.</summary>
    public IReadOnlyList<SweepCourse> Found => _found;

    /// <inheritdoc/>
    protected override void Inside(SweepRow sweep, long offset, ReadOnlySpan<ushort> scans)
    {
        if (offset == 0)
        {
            long length = sweep.Info.EndScan - sweep.Info.StartScan;
            _perScan = SweepCourse.PerScan(length);
            Array.Clear(_products);
            Array.Clear(_right);
            _count = CubicTerms + (2 * _cyclesPerScan.Count(f => f * length >= LeastCycles));
        }

        for (int k = 0; k < _cosine.Length; k++) (_sine[k], _cosine[k]) = Math.SinCos(2 * Math.PI * (_cyclesPerScan[k] * offset % 1));
        for (int i = _rampChannel; i < scans.Length; i += _channelCount, offset++)
        {
            // A spike or a code that no converter gives is no part of the course, but one among thousands moves it little.
            if (scans[i] <= _fullCode) Add((offset * _perScan) - 1, scans[i]);
            for (int k = 0; k < _cosine.Length; k++)
            {
                double cosine = _cosine[k], sine = _sine[k];
                _cosine[k] = (cosine * _stepCosine[k]) - (sine * _stepSine[k]);
                _sine[k] = (sine * _stepCosine[k]) + (cosine * _stepSine[k]);
            }
        }
    }

    /// <inheritdoc/>
    protected override void Ended(SweepRow sweep)
    {
        LeastSquares.Solve(_products, _right, _count, _terms.Length);
        _found.Add(new SweepCourse(_right, sweep.Info.EndScan - sweep.Info.StartScan));
    }

    private void Add(double x, double code)
    {
        _terms[0] = 1;
        _terms[1] = x;
        _terms[2] = SweepCourse.Second(x);
        _terms[3] = SweepCourse.Third(x);
        for (int k = 0, at = CubicTerms; at < _count; k++, at += 2)
        {
            _terms[at] = _cosine[k];
            _terms[at + 1] = _sine[k];
        }

        for (int row = 0; row < _count; row++)
        {
            double term = _terms[row];
            _right[row] += term * code;
            for (int column = row; column < _count; column++) _products[(row * _terms.Length) + column] += term * _terms[column];
        }
    }
}
