using Acquire.Scales;

namespace Acquire.Sources.Synthetic;

/// <summary>One vertical of a synthetic bench, from the signal at the instrument's input to the voltage at its output.</summary>
/// <remarks>
/// Powers of tracking source and tones add up, pass the device under test and, with the noise floor, reach the detector; its voltage
/// passes the video filter, then hum and white noise come on top. Level is in decibels relative to whatever the scale says.
/// </remarks>
public sealed record VerticalModel
{
    /// <summary>What the vertical carries; default a level.</summary>
    public VerticalKind Kind { get; init; } = VerticalKind.Level;

    /// <summary>Level of a tracking source in dB, or null: no tracking source. Default -10.</summary>
    public double? SourceDb { get; init; } = -10;

    /// <summary>Peak of the tracking source's smooth seeded unevenness, in dB; default 0.</summary>
    public double SourceBumpsDb { get; init; }

    /// <summary>Steady tones at the input; default none.</summary>
    public IReadOnlyList<Tone> Tones { get; init; } = [];

    /// <summary>Width of the Gaussian resolution filter at -3.01 dB, in hertz, through which tones are seen.</summary>
    /// <value>Positive; default 100.</value>
    public double ResolutionHz { get; init; } = 100;

    /// <summary>Whether a fast sweep lowers and widens the tones as a Gaussian filter does; default false.</summary>
    public bool SweepRateLoss { get; init; }

    /// <summary>Device under test, or null: a wire.</summary>
    public FilterModel? Filter { get; init; }

    /// <summary>Readings of one scan at stated places.</summary>
    public IReadOnlyList<Needle> Needles { get; init; } = [];

    /// <summary>Mean power of the narrow-band Gaussian noise floor in dB, or null: none. Every scan is an independent sample of its envelope.</summary>
    public double? NoiseFloorDb { get; init; }

    /// <summary>A level of one's own in dB instead of source and tones: (screen fraction, instrument's sweep number, position) to dB.</summary>
    public Func<double, long, long, double>? LevelFunction { get; init; }

    /// <summary>A voltage of one's own, in codes, instead of the whole chain up to the video filter: (screen fraction, instrument's sweep number, position) to codes.</summary>
    public Func<double, long, long, double>? CodeFunction { get; init; }

    /// <summary>What the detector's voltage is proportional to; default logarithmic.</summary>
    public VerticalLaw Law { get; init; } = VerticalLaw.Logarithmic;

    /// <summary>Level at <see cref="TopShare"/> in dB; default 0.</summary>
    public double TopDb { get; init; }

    /// <summary>Level at <see cref="BottomShare"/> in dB, for a logarithmic law, which shows nothing below it; default -100.</summary>
    public double BottomDb { get; init; } = -100;

    /// <summary>Share of the full code at the top level; below <see cref="BottomShare"/> where codes fall as the beam rises. Default 0.95.</summary>
    public double TopShare { get; init; } = 0.95;

    /// <summary>Share of the full code at the bottom level, or at no input for the linear laws; default 0.05.</summary>
    public double BottomShare { get; init; } = 0.05;

    /// <summary>Share of the full code shown by <see cref="VerticalKind.Resting"/>; default 0.5.</summary>
    public double RestingShare { get; init; } = 0.5;

    /// <summary>Frequency of <see cref="VerticalKind.Sine"/> in hertz; default 997 (few common factors with round scan rates).</summary>
    public double SineHz { get; init; } = 997;

    /// <summary>Peak of <see cref="VerticalKind.Sine"/> in codes; null is the full converter.</summary>
    public double? SineCodes { get; init; }

    /// <summary>Corner of each pole of the video filter in hertz, or null: no filter.</summary>
    public double? VideoHz { get; init; }

    /// <summary>Equal poles of the video filter; default 1.</summary>
    /// <value>1 to 8.</value>
    public int VideoPoles { get; init; } = 1;

    /// <summary>Pure delay of the vertical against the ramp in scans, beside the video filter.</summary>
    /// <value>0 to 1e9; default 0.</value>
    public double DelayScans { get; init; }

    /// <summary>White noise on the line in codes rms; default 0.</summary>
    public double NoiseCodes { get; init; }

    /// <summary>Pick-up on the line, or null.</summary>
    public Hum? Hum { get; init; }

    /// <summary>Share of the full code shown during retrace and rest; null (the default): the vertical follows the flyback, so the picture comes back in reverse.</summary>
    public double? FlybackShare { get; init; }

    /// <summary>Volts at code 0 and at the full code, for the setup; default 0 and 1.</summary>
    public CodeVolts Volts { get; init; } = new(0, 1);

    internal void Validate(int index)
    {
        string name = $"Verticals[{index}]";
        if (SourceDb is { } source) Check.Finite(source, name + ".SourceDb");
        Check.Range(SourceBumpsDb, 0, 100, name + ".SourceBumpsDb", "in dB");
        foreach (Tone tone in Tones) tone.Validate(name);
        Check.Positive(ResolutionHz, name + ".ResolutionHz");
        Filter?.Validate(name);
        foreach (Needle needle in Needles) needle.Validate(name);
        if (NoiseFloorDb is { } floor) Check.Finite(floor, name + ".NoiseFloorDb");
        Check.Finite(TopDb, name + ".TopDb");
        Check.Finite(BottomDb, name + ".BottomDb");
        if (!(BottomDb < TopDb)) throw new ArgumentException($"{name}.BottomDb is {BottomDb} and TopDb is {TopDb}; bottom must be below top. Shares give the polarity.");
        Check.Range(TopShare, -2, 3, name + ".TopShare", "a share of the full code");
        Check.Range(BottomShare, -2, 3, name + ".BottomShare", "a share of the full code");
        if (TopShare == BottomShare) throw new ArgumentException($"{name}.TopShare and BottomShare are both {TopShare}; they must differ.");
        Check.Range(RestingShare, -1, 2, name + ".RestingShare", "a share of the full code");
        Check.Positive(SineHz, name + ".SineHz");
        if (SineCodes is { } peak) Check.AtLeastZero(peak, name + ".SineCodes");
        if (VideoHz is { } corner) Check.Positive(corner, name + ".VideoHz");
        Check.Range(VideoPoles, 1, 8, name + ".VideoPoles", "a number of poles");
        Check.Range(DelayScans, 0, 1e9, name + ".DelayScans", "a time in scans");
        Check.AtLeastZero(NoiseCodes, name + ".NoiseCodes");
        Hum?.Validate(name + ".Hum");
        if (FlybackShare is { } share) Check.Range(share, -1, 2, name + ".FlybackShare", "a share of the full code");
        if (Volts.AtCodeZero == Volts.AtFullCode) throw new ArgumentException($"{name}.Volts has the same volts at code 0 and at the full code; they must differ.");
    }
}
