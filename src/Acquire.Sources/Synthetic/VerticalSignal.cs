using Acquire.Scales;

namespace Acquire.Sources.Synthetic;

/// <summary>The voltage on one vertical's line, in codes, from the signal at the instrument's input.</summary>
internal sealed class VerticalSignal
{
    private const double TenLog2Of4 = 12.041199826559248; // loss in dB of a Gaussian filter one bandwidth off: 40 log10(2)
    private const double SweepLossFactor = 0.19472002706; // (2 ln 2 / pi)^2

    private readonly SyntheticOptions _options;
    private readonly VerticalModel _model;
    private readonly int _fullCode;
    private readonly double _scanSeconds;
    private readonly double _shift;
    private readonly SweepCourse _course;
    private readonly RampSignal _ramp;
    private readonly SeedStream _noise, _inPhase, _quadrature, _bumps;
    private readonly double _floorAmplitude;
    private readonly OnePole[] _video;
    private readonly Tone[] _tones;
    private readonly Needle[] _needles;
    private double _lossOfSweep = double.NaN, _widthOfSweep = 1;
    private double _lossMovingScans = double.NaN;

    /// <summary>Makes the vertical with a walk of its own through the instrument's cycle, since it may be read at another instant than the ramp.</summary>
    public VerticalSignal(SyntheticOptions options, int vertical, RampSignal ramp)
    {
        _options = options;
        _model = options.VerticalOf(vertical);
        _fullCode = options.Format.FullCode;
        _scanSeconds = 1 / options.ScanRateHz;
        _shift = options.Converter.SkewScans - _model.DelayScans;
        _course = new SweepCourse(options);
        _ramp = ramp;
        _noise = new(options.Seed, SeedStream.Effect.VerticalNoise, vertical);
        _inPhase = new(options.Seed, SeedStream.Effect.FloorInPhase, vertical);
        _quadrature = new(options.Seed, SeedStream.Effect.FloorQuadrature, vertical);
        _bumps = new(options.Seed, SeedStream.Effect.SourceBumps, vertical);
        _floorAmplitude = _model.NoiseFloorDb is { } floor ? Math.Sqrt(PortableMath.PowerOf(floor) / 2) : 0;
        _tones = [.. _model.Tones];
        _needles = [.. _model.Needles];
        double poleScans = _model.VideoHz is { } corner ? options.ScanRateHz / (2 * Math.PI * corner) : 0;
        _video = [.. Enumerable.Range(0, poleScans > 0 ? _model.VideoPoles : 0).Select(_ => new OnePole(poleScans))];
    }

    /// <summary>What the vertical stands for without noise; see <see cref="ScanTruth.Level"/>.</summary>
    public double TrueLevel { get; private set; }

    /// <summary>Level of the line in codes, noise included. Called once per scan, in order.</summary>
    public double LineCodes(long scan, long position)
    {
        double codes = DetectorCodes(scan, position);
        foreach (OnePole pole in _video) codes = pole.Next(codes);
        if (_model.Hum is { } hum) codes += hum.Codes(scan * _scanSeconds);
        if (_model.NoiseCodes > 0) codes += _model.NoiseCodes * _noise.Normal(scan);
        return codes;
    }

    /// <summary>Lets the video filter see the last scans of a stretch of which no scan is read.</summary>
    public void Pass(long fromScan, long scans, long position)
    {
        if (_video.Length == 0) return;
        long settle = (long)Math.Min(Math.Min(scans, 1 << 16), 40 * _video[0].Scans * _video.Length + 1);
        for (long k = scans - settle; k < scans; k++)
        {
            double codes = DetectorCodes(fromScan + k, position);
            foreach (OnePole pole in _video) codes = pole.Next(codes);
        }
    }

    /// <summary>Level of source, tones and device under test at a place on the screen, in dB.</summary>
    public double LevelAt(double fraction, long instrumentSweep, long position)
    {
        if (_model.LevelFunction is { } function) return function(fraction, instrumentSweep, position);
        double frequencyHz = _options.StartHz + ((_options.EndHz - _options.StartHz) * fraction);
        double level = double.NegativeInfinity;
        if (_model.SourceDb is { } source)
        {
            level = source;
            if (_model.SourceBumpsDb > 0) level += _model.SourceBumpsDb * BumpAt(fraction);
            if (_model.Filter is { } filter) level -= filter.LossDb(frequencyHz);
        }

        if (_tones.Length == 0) return level;
        double power = PortableMath.PowerOf(level);
        foreach (Tone tone in _tones)
        {
            double offset = (frequencyHz - tone.FrequencyHz) / (_model.ResolutionHz * _widthOfSweep);
            double loss = TenLog2Of4 * offset * offset;
            if (_model.Filter is { } filter) loss += filter.LossDb(tone.FrequencyHz);
            power += PortableMath.PowerOf(tone.LevelDb - loss - (double.IsNaN(_lossOfSweep) ? 0 : _lossOfSweep));
        }

        return PortableMath.Decibels(power);
    }

    private double DetectorCodes(long scan, long position)
    {
        double fraction = _course.MoveTo(scan, _shift) + _ramp.RealHumFraction(scan + _shift);
        double codes;
        if (_model.FlybackShare is { } share && _course.Part != CoursePart.Sweep)
        {
            codes = share * _fullCode;
            TrueLevel = codes;
            return codes;
        }

        if (_model.CodeFunction is { } function) codes = function(fraction, _course.Sweep, position);
        else
        {
            switch (_model.Kind)
            {
                case VerticalKind.Sine:
                    codes = (_fullCode * 0.5) + ((_model.SineCodes ?? (_fullCode * 0.5)) * PortableMath.SinTurns(scan * _scanSeconds * _model.SineHz));
                    break;
                case VerticalKind.SweepNumber:
                    codes = _course.Sweep % (_fullCode + 1);
                    break;
                case VerticalKind.Resting:
                    codes = _model.RestingShare * _fullCode;
                    break;
                default:
                    return LevelCodes(fraction, scan, position);
            }
        }

        TrueLevel = codes;
        return codes;
    }

    private double LevelCodes(double fraction, long scan, long position)
    {
        if (_model.SweepRateLoss && _course.MovingScans != _lossMovingScans) UpdateSweepLoss();
        double level = LevelAt(fraction, _course.Sweep, position);
        if (_needles.Length > 0 && _course.Part == CoursePart.Sweep) level = NeedleOr(level, fraction);
        TrueLevel = level;
        if (_floorAmplitude > 0)
        {
            // A steady signal is a fixed vector; the floor adds an independent normal component along and across it.
            double along = Math.Sqrt(PortableMath.PowerOf(level)) + (_floorAmplitude * _inPhase.Normal(scan));
            double across = _floorAmplitude * _quadrature.Normal(scan);
            level = PortableMath.Decibels((along * along) + (across * across));
        }

        double relative = _model.Law switch
        {
            VerticalLaw.Logarithmic => (Math.Max(level, _model.BottomDb) - _model.BottomDb) / (_model.TopDb - _model.BottomDb),
            VerticalLaw.Voltage => PortableMath.PowerOf((level - _model.TopDb) / 2),
            _ => PortableMath.PowerOf(level - _model.TopDb),
        };
        return (_model.BottomShare + ((_model.TopShare - _model.BottomShare) * relative)) * _fullCode;
    }

    private double NeedleOr(double level, double fraction)
    {
        double before = _course.FractionOneScanBefore();
        bool first = double.IsNaN(before);
        foreach (Needle needle in _needles)
        {
            bool hit = _course.Forward
                ? fraction >= needle.Fraction && (first || before < needle.Fraction)
                : fraction <= needle.Fraction && (first || before > needle.Fraction);
            if (hit) level = needle.LevelDb;
        }

        return level;
    }

    /// <summary>Smooth seeded curve within -1..1 over the screen.</summary>
    private double BumpAt(double fraction) =>
        (PortableMath.SinTurns((1.3 * fraction) + _bumps.Uniform(0))
            + PortableMath.SinTurns((2.7 * fraction) + _bumps.Uniform(1))
            + PortableMath.SinTurns((4.1 * fraction) + _bumps.Uniform(2))) / 3;

    /// <summary>
    /// Amplitude factor (1 + c x²)^(-1/4) and width factor (1 + c x²)^(1/2) with x = sweep rate / B²: Batten, Jorgensen, MacNee and
    /// Peterson, Proc. IRE 42 (June 1954) 948-956.
    /// </summary>
    private void UpdateSweepLoss()
    {
        _lossMovingScans = _course.MovingScans;
        double rate = Math.Abs(_options.EndHz - _options.StartHz) * (1 + (2 * _options.Ramp.Overscan)) / (_course.MovingScans * _scanSeconds);
        double x = rate / (_model.ResolutionHz * _model.ResolutionHz);
        double grown = 1 + (SweepLossFactor * x * x);
        _lossOfSweep = 0.5 * PortableMath.Decibels(grown);
        _widthOfSweep = Math.Sqrt(grown);
    }
}
