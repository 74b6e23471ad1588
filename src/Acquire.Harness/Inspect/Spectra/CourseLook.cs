namespace Acquire.Harness.Inspect.Spectra;

/// <summary>Second walk: the course of the ramp within sweeps, the verticals' lines within sweeps, and each vertical's mean by ramp code.</summary>
internal sealed class CourseLook : SweepSection
{
    private readonly int _rampChannel, _channelCount;
    private readonly StretchLengths _lengths;
    private readonly StretchReader _rampReader;
    private readonly StretchSpectra _rampSpectra;
    private readonly StretchReader[] _readers;
    private readonly StretchSpectra[] _spectra;
    private readonly Crosstalk[] _crosstalk;
    private readonly List<double> _startSlopes = [];
    private readonly List<double> _endSlopes = [];
    private readonly List<double> _errors = [];
    private readonly double _noise;
    private readonly double _rampSpan;

    /// <summary>Begins at scan 0.</summary>
    /// <param name="sweeps">Complete sweeps, at least one.</param>
    /// <param name="setup">Setup.</param>
    /// <param name="rampNoiseCodes">Standard deviation of the ramp's scan-to-scan noise.</param>
    /// <param name="rampSpanCodes">From end to end of the ramp, in codes.</param>
    public CourseLook(IReadOnlyList<SweepRow> sweeps, Setup setup, double rampNoiseCodes, double rampSpanCodes)
        : base(sweeps, setup.Scan.ChannelCount)
    {
        _channelCount = setup.Scan.ChannelCount;
        _rampChannel = setup.Scan.RampChannel;
        _lengths = StretchLengths.For(sweeps);
        _rampReader = new StretchReader(_lengths);
        _rampSpectra = new StretchSpectra(_lengths);
        Profiles = [.. setup.Scan.VerticalChannels.Select(c => new VerticalProfile(c, _rampChannel, setup.Scan.FullCode))];
        _readers = [.. Profiles.Select(_ => new StretchReader(_lengths))];
        _spectra = [.. Profiles.Select(_ => new StretchSpectra(_lengths))];
        _noise = rampNoiseCodes;
        _crosstalk = [.. Profiles.Select(_ => new Crosstalk(rampNoiseCodes / Math.Sqrt(_lengths.ScansPerPoint)))];
        _rampSpan = rampSpanCodes;
        Rest = new RestDrift(rampSpanCodes / 20);
        // Five columns of a thousand; and twelve standard deviations never happen by chance.
        Spikes = new SpikeWatch(Math.Max(8, Math.Max(12 * rampNoiseCodes, setup.Scan.FullCode / 200.0)));
    }

    /// <summary>Means of the verticals by ramp code.</summary>
    public IReadOnlyList<VerticalProfile> Profiles { get; }

    /// <summary>When each sweep passes the same code.</summary>
    public SweepPasses Passes { get; } = new();

    /// <summary>Drift of the ramp at rest.</summary>
    public RestDrift Rest { get; }

    /// <summary>Single scans off the ramp's course.</summary>
    public SpikeWatch Spikes { get; }

    /// <summary>Median slope of the ramp at the start of the sweeps, in codes per scan.</summary>
    public double StartSlope => Median(_startSlopes);

    /// <summary>Median slope of the ramp at the end of the sweeps, in codes per scan.</summary>
    public double EndSlope => Median(_endSlopes);

    /// <summary>Scans of a sweep to which the course was fitted.</summary>
    public long FittedScans => (long)_lengths.Points * _lengths.ScansPerPoint;

    /// <summary>Root of the mean square of what the fitted course leaves, in codes, median over the sweeps, without the scan-to-scan noise.</summary>
    public double CourseErrorCodes => Median(_errors);

    /// <summary>Lines on the ramp, strongest first.</summary>
    public IReadOnlyList<SpectralLine> RampLines() => _rampSpectra.Lines();

    /// <summary>Lines on a vertical within sweeps, strongest first; some may be signal.</summary>
    /// <param name="vertical">0 is the first vertical.</param>
    public IReadOnlyList<SpectralLine> VerticalLines(int vertical) => _spectra[vertical].Lines();

    /// <summary>What of a vertical is in the ramp.</summary>
    /// <param name="vertical">0 is the first vertical.</param>
    public CrosstalkReport CrosstalkOf(int vertical) => _crosstalk[vertical].Report();

    /// <inheritdoc/>
    protected override void Inside(SweepRow sweep, long offset, ReadOnlySpan<ushort> scans)
    {
        if (offset == 0)
        {
            long length = sweep.Info.EndScan - sweep.Info.StartScan;
            _rampReader.Begin(length);
            Passes.Begin(length);
            foreach (StretchReader reader in _readers) reader.Begin(length);
            // At the turning point of a sweep of few scans the code goes there and back by as much as it does from scan to scan.
            Rest.SweepBegins(scans[_rampChannel]);
            Spikes.Begin(4 * _rampSpan / length);
        }

        for (int i = 0; i < scans.Length; i += _channelCount)
        {
            ushort ramp = scans[i + _rampChannel];
            long at = offset + (i / _channelCount);
            _rampReader.Add(at, ramp);
            Passes.Add(at, ramp);
            Spikes.Add(sweep.Info.StartScan + at, ramp);
            for (int v = 0; v < _readers.Length; v++)
            {
                ushort code = scans[i + Profiles[v].Channel];
                _readers[v].Add(at, code);
                Profiles[v].Add(ramp, code);
            }
        }
    }

    /// <inheritdoc/>
    protected override void Between(SweepRow before, ReadOnlySpan<ushort> scans)
    {
        for (int i = _rampChannel; i < scans.Length; i += _channelCount) Rest.Add(scans[i]);
    }

    /// <inheritdoc/>
    protected override void Ended(SweepRow sweep)
    {
        Rest.Clear();
        Passes.End(sweep.Info.StartPosition);
        if (sweep.Info.EndScan - sweep.Info.StartScan < _lengths.LeastScans || !_rampReader.Filled || _lengths.Points < 8) return;
        (double start, double end) = _rampSpectra.Add(_rampReader);
        _startSlopes.Add(start);
        _endSlopes.Add(end);
        double square = 0;
        foreach (double left in _rampReader.Points) square += left * left;
        _errors.Add(Math.Sqrt(Math.Max(0, (square / _lengths.Points) - (_noise * _noise / _lengths.ScansPerPoint))));
        for (int v = 0; v < _readers.Length; v++)
        {
            _spectra[v].Add(_readers[v]);
            _crosstalk[v].Add(_rampReader.Points, _readers[v].Points);
        }
    }

    private static double Median(List<double> values)
    {
        if (values.Count == 0) return double.NaN;
        double[] sorted = [.. values.Order()];
        return sorted[sorted.Length / 2];
    }
}
