namespace Acquire.Sources.Synthetic;

/// <summary>The voltage on the blanking line, in codes.</summary>
internal sealed class BlankingSignal
{
    private readonly SyntheticOptions _options;
    private readonly BlankingModel _model;
    private readonly SweepCourse _course;
    private readonly SeedStream _noise;
    private readonly double _shift;
    private readonly int _fullCode;

    public BlankingSignal(SyntheticOptions options)
    {
        _options = options;
        _model = options.Blanking;
        _course = new SweepCourse(options);
        _noise = new(options.Seed, SeedStream.Effect.BlankingNoise);
        _shift = options.Converter.SkewScans + _model.LeadScans;
        _fullCode = options.Format.FullCode;
    }

    /// <summary>Whether the beam is off at the time that a course has moved to.</summary>
    public static bool IsOff(SweepCourse course, SyntheticOptions options)
    {
        if (options.Ramp.Kind == RampKind.Manual) return false;
        return course.Part != CoursePart.Sweep || (course.Paused && options.Ramp.Pause!.Blanked);
    }

    /// <summary>Level of the line. Called in order of time.</summary>
    public double LineCodes(long scan)
    {
        _course.MoveTo(scan, _shift);
        double codes = (IsOff(_course, _options) == _model.HighIsBlanked ? _model.High : _model.Low) * _fullCode;
        return _model.NoiseCodes > 0 ? codes + (_model.NoiseCodes * _noise.Normal(scan)) : codes;
    }
}
