namespace Acquire.Harness.Inspect.Spectra;

/// <summary>A further walk: how large waves of given frequencies are on a vertical, of which its mean by place has been taken off.</summary>
/// <remarks>
/// That mean holds part of each wave, more of it the fewer the sweeps are and the nearer their starts come to the same phase; noise on the ramp spreads it over places. No formula of
/// the phases knows all that. So a unit cosine and sine go through the same subtraction, and least squares say how much of what is left of them is in what is left of the
/// vertical. Scans are weighted with the spectrum's window: what drifts from sweep to sweep does not leak in.
/// </remarks>
internal sealed class WaveFit : SweepSection
{
    // At each place and frequency: sums of cosine and sine as they are, and weighted. Behind them the sum of the weights at each code, and that of what is left, weighted.
    private const int SumsEach = 4;

    private readonly VerticalProfile _profile;
    private readonly int _channelCount;
    private readonly long _firstPosition;
    private readonly double[] _window;
    private readonly double _scansPerWeight;
    private readonly double[] _cyclesPerScan, _cosine, _sine, _stepCosine, _stepSine;
    private readonly double[] _sums;
    private readonly int _weights, _weightedLeft;
    private readonly Products[] _products;

    /// <summary>Begins at scan 0.</summary>
    /// <param name="sweeps">The sweeps of which the profile is.</param>
    /// <param name="profile">Mean of the vertical by place.</param>
    /// <param name="channelCount">Words in a scan.</param>
    /// <param name="cyclesPerScan">Frequencies in cycles per scan.</param>
    /// <param name="space">Room to work in, as much as <see cref="SpaceFor"/> says; it is cleared, and used until the result has been asked for.</param>
    public WaveFit(IReadOnlyList<SweepRow> sweeps, VerticalProfile profile, int channelCount, double[] cyclesPerScan, double[] space)
        : base(sweeps, channelCount)
    {
        _profile = profile;
        _channelCount = channelCount;
        _firstPosition = sweeps[0].Info.StartPosition;
        _window = PowerSpectrum.Window(1 << 12);
        _scansPerWeight = (double)(sweeps[^1].Info.EndPosition - _firstPosition) / _window.Length;
        _cyclesPerScan = cyclesPerScan;
        _cosine = new double[cyclesPerScan.Length];
        _sine = new double[cyclesPerScan.Length];
        _stepCosine = [.. cyclesPerScan.Select(f => Math.Cos(2 * Math.PI * f))];
        _stepSine = [.. cyclesPerScan.Select(f => Math.Sin(2 * Math.PI * f))];
        _sums = space;
        Array.Clear(_sums);
        _weights = (profile.FullCode + 1) * cyclesPerScan.Length * SumsEach;
        _weightedLeft = _weights + profile.FullCode + 1;
        _products = new Products[cyclesPerScan.Length];
    }

    /// <summary>Numbers that it takes to look at so many frequencies.</summary>
    public static int SpaceFor(VerticalProfile profile, int frequencies) => (profile.FullCode + 1) * ((frequencies * SumsEach) + 2);

    /// <summary>What was found at a frequency.</summary>
    /// <param name="index">Index of the frequency.</param>
    /// <returns>Peak amplitude in codes; share of a wave's power that the subtraction leaves, of the phase that it takes most of; and the power that the wave explains.</returns>
    public (double Amplitude, double ShareLeft, double Explained) At(int index)
    {
        Products p = _products[index];
        double whole = (p.CosineCosine + p.SineSine) / 2;
        for (int place = 0; place <= _profile.FullCode; place++)
        {
            if (_profile.CountAt(place) is not (> 0 and long count)) continue;
            ReadOnlySpan<double> sums = _sums.AsSpan(((place * _cyclesPerScan.Length) + index) * SumsEach, SumsEach);
            // Sums over (u - mean u)(v - mean v), multiplied out, so that the means need not be known before the walk.
            double cosine = sums[0] / count, sine = sums[1] / count, weight = _sums[_weights + place];
            p.CosineCosine += cosine * ((weight * cosine) - (2 * sums[2]));
            p.SineSine += sine * ((weight * sine) - (2 * sums[3]));
            p.CosineSine += (weight * cosine * sine) - (sums[2] * sine) - (sums[3] * cosine);
            p.CosineLeft -= cosine * _sums[_weightedLeft + place];
            p.SineLeft -= sine * _sums[_weightedLeft + place];
        }

        double middle = (p.CosineCosine + p.SineSine) / 2, determinant = (p.CosineCosine * p.SineSine) - (p.CosineSine * p.CosineSine);
        double least = middle - Math.Sqrt(Math.Max(0, (middle * middle) - determinant));
        if (!(least > 1e-9 * whole)) return (double.NaN, 0, 0);
        double a = ((p.CosineLeft * p.SineSine) - (p.SineLeft * p.CosineSine)) / determinant;
        double b = ((p.SineLeft * p.CosineCosine) - (p.CosineLeft * p.CosineSine)) / determinant;
        return (Math.Sqrt((a * a) + (b * b)), least / whole, (a * p.CosineLeft) + (b * p.SineLeft));
    }

    /// <inheritdoc/>
    protected override void Inside(SweepRow sweep, long offset, ReadOnlySpan<ushort> scans)
    {
        long position = sweep.Info.StartPosition - _firstPosition + offset;
        for (int k = 0; k < _cosine.Length; k++) (_sine[k], _cosine[k]) = Math.SinCos(2 * Math.PI * (_cyclesPerScan[k] * position % 1));
        for (int i = 0; i < scans.Length; i += _channelCount, position++)
        {
            ushort place = _profile.PlaceOf(SweepIndex, offset + (i / _channelCount), scans[i + _profile.RampChannel]), code = scans[i + _profile.Channel];
            if (_profile.TryMean(place, code, out double mean)) Add(place, _window[Math.Min((int)(position / _scansPerWeight), _window.Length - 1)], code - mean);
            for (int k = 0; k < _cosine.Length; k++)
            {
                double cosine = _cosine[k], sine = _sine[k];
                _cosine[k] = (cosine * _stepCosine[k]) - (sine * _stepSine[k]);
                _sine[k] = (sine * _stepCosine[k]) + (cosine * _stepSine[k]);
            }
        }
    }

    private void Add(ushort place, double weight, double left)
    {
        _sums[_weights + place] += weight;
        _sums[_weightedLeft + place] += weight * left;
        int at = place * _cosine.Length * SumsEach;
        for (int k = 0; k < _cosine.Length; k++, at += SumsEach)
        {
            Span<double> sums = _sums.AsSpan(at, SumsEach);
            double cosine = _cosine[k], sine = _sine[k], weightedCosine = weight * cosine, weightedSine = weight * sine;
            sums[0] += cosine;
            sums[1] += sine;
            sums[2] += weightedCosine;
            sums[3] += weightedSine;
            ref Products products = ref _products[k];
            products.CosineCosine += weightedCosine * cosine;
            products.SineSine += weightedSine * sine;
            products.CosineSine += weightedCosine * sine;
            products.CosineLeft += weightedCosine * left;
            products.SineLeft += weightedSine * left;
        }
    }

    private struct Products
    {
        public double CosineCosine, SineSine, CosineSine, CosineLeft, SineLeft;
    }
}
