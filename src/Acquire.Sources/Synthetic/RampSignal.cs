namespace Acquire.Sources.Synthetic;

/// <summary>The voltage on the ramp line, in codes, from where the beam stands.</summary>
internal sealed class RampSignal
{
    /// <summary>Steps in which the slow states (coupling, walk) cross a stretch of lost scans.</summary>
    private const int LossSteps = 4_096;

    private readonly RampModel _model;
    private readonly double _scanSeconds;
    private readonly int _fullCode;
    private readonly double _low, _size;
    private readonly bool _falling;
    private readonly SeedStream _noise, _spikePlace, _spikeSign, _walk;
    private readonly double _spikeChance;
    private readonly double _couplingScans;
    private double _coupled;
    private double _walked;

    public RampSignal(SyntheticOptions options)
    {
        _model = options.Ramp;
        _scanSeconds = 1 / options.ScanRateHz;
        _fullCode = options.Format.FullCode;
        _low = _model.Low * _fullCode;
        _size = (_model.High - _model.Low) * _fullCode;
        _falling = _model.Kind == RampKind.Falling;
        _noise = new(options.Seed, SeedStream.Effect.RampNoise);
        _spikePlace = new(options.Seed, SeedStream.Effect.SpikePlace);
        _spikeSign = new(options.Seed, SeedStream.Effect.SpikeSign);
        _walk = new(options.Seed, SeedStream.Effect.Walk);
        _spikeChance = _model.Spikes is { } spikes ? 1 / spikes.EveryScans : 0;
        _couplingScans = _model.CouplingHz is { } corner ? 1 / (2 * Math.PI * corner * _scanSeconds) : 0;
        _coupled = _low + (_size / 2);
        _walked = _model.RestingLevel * _fullCode;
    }

    /// <summary>Beam movement by hum that is really on the ramp, in screen fractions.</summary>
    public double RealHumFraction(double time) =>
        _model is { HumIsReal: true, Hum: { } hum } ? hum.Codes(time * _scanSeconds) / (_falling ? -_size : _size) : 0;

    /// <summary>Level of the line without pick-up. Called once per scan, in order.</summary>
    /// <param name="scan">Instrument time in scans.</param>
    /// <param name="fraction">Where the beam stands.</param>
    /// <param name="verticalCodes">What the first vertical reads, for an open ramp input.</param>
    public double LineCodes(long scan, double fraction, double verticalCodes)
    {
        double middle = _model.RestingLevel * _fullCode;
        switch (_model.Kind)
        {
            case RampKind.Constant or RampKind.Noise:
                return middle;
            case RampKind.Walk:
                Walk(scan, 1);
                return _walked;
            case RampKind.Mains:
                double sine = _model.MainsAmplitude * PortableMath.SinTurns(scan * _scanSeconds * _model.MainsHz);
                if (_model.MainsClip is { } clip) sine = Math.Clamp(sine, -clip, clip);
                return middle + (sine * _fullCode);
            case RampKind.Floating:
                return middle + (_model.FloatingShare * (verticalCodes - middle));
            default:
                double level = DriftedCodes(scan, fraction);
                if (_couplingScans <= 0) return level;
                Couple(level, 1);
                return level - _coupled + (_fullCode * 0.5);
        }
    }

    /// <summary>The line with noise, pick-up and spikes.</summary>
    public double Disturb(double lineCodes, long scan)
    {
        double level = lineCodes;
        if (_model.NoiseCodes > 0) level += _model.NoiseCodes * _noise.Normal(scan);
        if (_model is { HumIsReal: false, Hum: { } hum }) level += hum.Codes(scan * _scanSeconds);
        if (_spikeChance > 0 && HasSpike(scan)) level = Spiked(level, scan);
        return level;
    }

    /// <summary>Takes the slow states over a stretch of which no scan is read.</summary>
    public void Pass(SweepCourse course, long fromScan, long scans)
    {
        if (_model.Kind == RampKind.Walk)
        {
            long walkStep = Math.Max(1, scans / LossSteps);
            for (long done = 0; done < scans; done += walkStep) Walk(fromScan + done, Math.Min(walkStep, scans - done));
        }

        if (_couplingScans <= 0 || !_model.HasSweeps) return;
        long step = Math.Max(1, scans / LossSteps);
        for (long done = 0; done < scans; done += step)
        {
            long length = Math.Min(step, scans - done);
            Couple(DriftedCodes(fromScan + done, course.MoveTo(fromScan + done)), length);
        }
    }

    private double DriftedCodes(long scan, double fraction)
    {
        double along = _falling ? 1 - fraction : fraction;
        if (_model.OffsetDriftPerSecond == 0 && _model.SizeDriftPerSecond == 0) return _low + (_size * along);
        double seconds = scan * _scanSeconds;
        return _low + (_model.OffsetDriftPerSecond * seconds * _fullCode) + (_size * (1 + (_model.SizeDriftPerSecond * seconds)) * along);
    }

    private bool HasSpike(long scan)
    {
        if (_spikePlace.Uniform(scan) >= _spikeChance) return false;
        for (int back = 1; back < _model.Spikes!.ApartScans; back++)
            if (_spikePlace.Uniform(scan - back) < _spikeChance) return false;
        return true;
    }

    private double Spiked(double level, long scan)
    {
        SpikeModel spikes = _model.Spikes!;
        bool up = spikes.Direction == SpikeDirection.Up
            || (spikes.Direction == SpikeDirection.Either && (_spikeSign.Bits(scan) & 1) == 0);
        if (spikes.AmplitudeCodes is { } amplitude) return level + (up ? amplitude : -amplitude);
        return up ? Math.Max(level, _fullCode) : Math.Min(level, 0);
    }

    private void Couple(double level, long scans) =>
        _coupled += (1 - PortableMath.Exp(-scans / _couplingScans)) * (level - _coupled);

    private void Walk(long scan, long scans)
    {
        _walked += _model.WalkCodes * Math.Sqrt(scans) * _walk.Normal(scan);
        if (_walked < 0) _walked = Math.Min(-_walked, _fullCode);
        else if (_walked > _fullCode) _walked = Math.Max((2.0 * _fullCode) - _walked, 0);
    }
}
