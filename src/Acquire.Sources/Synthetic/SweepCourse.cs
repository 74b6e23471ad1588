namespace Acquire.Sources.Synthetic;

/// <summary>Walks through the instrument's cycle in time and tells where the beam stands. Time only goes forward.</summary>
/// <remarks>
/// Several of these may walk through the same cycle at different times (ramp, delayed vertical, leading blanking line): what a sweep does
/// depends on its number and the seed only. Memory does not depend on the length of a sweep.
/// <code>
///   Sweep --> FlybackToRest --> Rest --> FlybackToStart --> Sweep (number + 1)
///   both ways, not aborted:  Sweep --> Rest --> Sweep (number + 1, other way)
/// </code>
/// </remarks>
internal sealed class SweepCourse
{
    private readonly SweepTiming _timing;
    private readonly RampModel _ramp;
    private readonly SeedStream _sweepJitter, _restJitter, _abortChance, _abortPlace;
    private readonly bool _bothWays, _manual;
    private readonly double _restFraction;
    private readonly AbortAt[] _aborts;
    private readonly double[] _factors;
    private readonly SeedStream _knobPlace, _knobSpeed, _knobStand;

    // A part starts at _floor + _rest scans. Whole and fractional scans are kept apart: a double alone would lose
    // the fraction after 2^53 scans and, long before, make a scan's phase depend on how far the stream has run.
    private long _floor;
    private double _rest;
    private double _length;
    private double _from, _to;
    private double _movingScans, _abortShare;
    private double _elapsed;

    public SweepCourse(SyntheticOptions options)
    {
        _timing = options.Sweep;
        _ramp = options.Ramp;
        _aborts = [.. _timing.Aborts];
        _factors = [.. _timing.SweepFactors];
        _bothWays = _ramp.Kind == RampKind.BothWays;
        _manual = _ramp.Kind == RampKind.Manual;
        _sweepJitter = new(options.Seed, SeedStream.Effect.SweepJitter);
        _restJitter = new(options.Seed, SeedStream.Effect.RestJitter);
        _abortChance = new(options.Seed, SeedStream.Effect.AbortChance);
        _abortPlace = new(options.Seed, SeedStream.Effect.AbortPlace);
        _knobPlace = new(options.Seed, SeedStream.Effect.KnobPlace);
        _knobSpeed = new(options.Seed, SeedStream.Effect.KnobSpeed);
        _knobStand = new(options.Seed, SeedStream.Effect.KnobStand);
        double fraction = _timing.RestLevel is { } level ? (level - _ramp.Low) / (_ramp.High - _ramp.Low) : -_ramp.Overscan;
        _restFraction = _timing.RestLevel is not null && _ramp.Kind == RampKind.Falling ? 1 - fraction : fraction;
        BeginSweep(0, forward: true);
        MoveToBegin();
    }

    /// <summary>Part of the cycle at the time moved to.</summary>
    public CoursePart Part { get; private set; }

    /// <summary>Number of the sweep as the instrument counts.</summary>
    public long Sweep { get; private set; }

    /// <summary>Whether this sweep flies back early.</summary>
    public bool Aborted { get; private set; }

    /// <summary>Whether the beam runs from fraction 0 to 1 in this sweep; false on the way back of both ways.</summary>
    public bool Forward { get; private set; }

    /// <summary>Whether the time moved to lies in a pause.</summary>
    public bool Paused { get; private set; }

    /// <summary>Time of this sweep in scans, as if it were not aborted, pauses not counted.</summary>
    public double MovingScans => _movingScans;

    /// <summary>Whether no scan one before the time moved to can lie in the same part.</summary>
    public bool IsFirstScanOfPart => _elapsed < 1;

    /// <summary>Whether no scan one behind the time moved to can lie in the same part.</summary>
    public bool IsLastScanOfPart => _elapsed + 1 >= _length;

    /// <summary>Moves on to a time.</summary>
    /// <param name="scan">Whole scans of instrument time, from 0 at the begin of the stream.</param>
    /// <param name="shift">Fraction of a scan, or a lead or lag, added to it.</param>
    /// <returns>Screen fraction there.</returns>
    public double MoveTo(long scan, double shift = 0)
    {
        double elapsed = (scan - _floor) + (shift - _rest);
        while (elapsed >= _length)
        {
            Next();
            elapsed = (scan - _floor) + (shift - _rest);
        }

        // A delayed vertical looks back to before the first cycle: there the beam stands where the cycle starts.
        _elapsed = Math.Max(elapsed, 0);
        return FractionAt(_elapsed);
    }

    /// <summary>Screen fraction a scan before the time moved to, or NaN where that is before this part.</summary>
    public double FractionOneScanBefore()
    {
        if (_elapsed < 1) return double.NaN;
        bool paused = Paused;
        double fraction = FractionAt(_elapsed - 1);
        Paused = paused;
        return fraction;
    }

    private double FractionAt(double elapsed)
    {
        Paused = false;
        switch (Part)
        {
            case CoursePart.Sweep when _manual:
                return _from + ((_to - _from) * (elapsed / _length));
            case CoursePart.Sweep:
                return FractionOfWay(WayAt(Progress(elapsed)));
            case CoursePart.Rest:
                return _to;
            default:
                double u = elapsed / _length;
                if (_timing.RetraceShape == RetraceShape.Exponential)
                    u = (1 - PortableMath.Exp(-_timing.RetraceConstants * u)) / (1 - PortableMath.Exp(-_timing.RetraceConstants));
                return _from + ((_to - _from) * u);
        }
    }

    private double Progress(double elapsed)
    {
        if (_ramp.Pause is { } pause && pause.AtShare < _abortShare)
        {
            double at = pause.AtShare * _movingScans;
            if (elapsed >= at + pause.Scans) return (elapsed - pause.Scans) / _movingScans;
            if (elapsed >= at)
            {
                Paused = true;
                return pause.AtShare;
            }
        }

        return elapsed / _movingScans;
    }

    private double WayAt(double progress)
    {
        double way = progress + (4 * _ramp.Bow * progress * (1 - progress));
        if (_ramp.Kink is { } kink)
        {
            way = way < kink.AtShare
                ? way * kink.Fraction / kink.AtShare
                : kink.Fraction + ((way - kink.AtShare) * (1 - kink.Fraction) / (1 - kink.AtShare));
        }

        if (_ramp.Steps > 1) way = Math.Min(Math.Floor(way * _ramp.Steps) / (_ramp.Steps - 1), 1);
        return way;
    }

    private double FractionOfWay(double way)
    {
        double along = -_ramp.Overscan + ((1 + (2 * _ramp.Overscan)) * way);
        return Forward ? along : 1 - along;
    }

    private void Next()
    {
        double end = _rest + _length;
        double whole = Math.Floor(end);
        _floor += (long)whole;
        _rest = end - whole;
        double at = Part == CoursePart.Sweep && !_manual ? FractionOfWay(WayAt(_abortShare)) : _to;
        switch (Part)
        {
            case CoursePart.Sweep when _manual || (_bothWays && !Aborted):
                BeginRest(at);
                break;
            case CoursePart.Sweep:
                BeginFlyback(CoursePart.FlybackToRest, at, _bothWays ? StartFraction() : _restFraction);
                break;
            case CoursePart.FlybackToRest:
                BeginRest(at);
                break;
            case CoursePart.Rest when _manual || _bothWays:
                // An aborted sweep of a triangle has flown back to its own start and is drawn again the same way.
                BeginSweep(Sweep + 1, forward: _manual || Forward == Aborted);
                break;
            case CoursePart.Rest:
                BeginFlyback(CoursePart.FlybackToStart, at, StartFraction());
                break;
            default:
                BeginSweep(Sweep + 1, forward: true);
                break;
        }
    }

    private double StartFraction() => Forward ? -_ramp.Overscan : 1 + _ramp.Overscan;

    private void BeginSweep(long sweep, bool forward)
    {
        Sweep = sweep;
        Part = CoursePart.Sweep;
        Forward = forward;
        if (_manual)
        {
            _from = sweep == 0 ? 0.5 : _to;
            _to = _knobPlace.Uniform(sweep);
            _movingScans = _timing.SweepScans * _knobSpeed.Uniform(sweep, 0.5, 1.5);
            _length = Math.Max(1, _movingScans * Math.Abs(_to - _from));
            return;
        }

        double factor = _factors.Length > 0 ? _factors[(int)(sweep % _factors.Length)] : 1;
        if (_timing.SweepJitter > 0) factor *= 1 + (_timing.SweepJitter * _sweepJitter.Uniform(sweep, -1, 1));
        if (!Forward) factor *= _timing.ReturnFactor;
        _movingScans = Math.Max(1, _timing.SweepScans * factor);
        _abortShare = AbortShare(sweep);
        Aborted = _abortShare < 1;
        _length = _movingScans * _abortShare;
        if (_ramp.Pause is { } pause && pause.AtShare < _abortShare) _length += pause.Scans;
    }

    private double AbortShare(long sweep)
    {
        foreach (AbortAt abort in _aborts)
            if (abort.InstrumentSweep == sweep) return abort.Share;
        return _timing.AbortChance > 0 && _abortChance.Uniform(sweep) < _timing.AbortChance
            ? _abortPlace.Uniform(sweep, _timing.AbortFrom, _timing.AbortTo)
            : 1;
    }

    private void BeginFlyback(CoursePart part, double from, double to)
    {
        Part = part;
        _from = from;
        _to = to;

        // Only the way within the sweep's own range takes time; beyond it the line jumps.
        double low = -_ramp.Overscan, high = 1 + _ramp.Overscan;
        double distance = Math.Abs(Math.Clamp(from, low, high) - Math.Clamp(to, low, high)) / (high - low);
        _length = _timing.RetraceScans * distance;
    }

    private void BeginRest(double fraction)
    {
        Part = CoursePart.Rest;
        _from = fraction;
        _to = fraction;
        _length = _timing.RestScans;
        if (_manual) _length *= _knobStand.Uniform(Sweep, 0.5, 1.5);
        else if (_timing.RestJitter > 0) _length *= 1 + (_timing.RestJitter * _restJitter.Uniform(Sweep, -1, 1));
    }

    private void MoveToBegin()
    {
        CoursePart wanted = _timing.Begin switch
        {
            BeginPhase.Sweep => CoursePart.Sweep,
            BeginPhase.Retrace => CoursePart.FlybackToRest,
            _ => CoursePart.Rest,
        };
        while (Part != wanted && Sweep == 0) Next();
        while (_length <= 0) Next();
        double share = Part == wanted ? _timing.BeginShare : 0;
        double before = share * _length;
        double whole = Math.Ceiling(before);
        _floor = -(long)whole;
        _rest = whole - before;
    }
}
