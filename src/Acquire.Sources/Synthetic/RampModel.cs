using Acquire.Scales;

namespace Acquire.Sources.Synthetic;

/// <summary>The ramp channel of a synthetic bench: where it runs, what bends it and what disturbs it.</summary>
/// <remarks>A share is a fraction of the converter's full code. Noise, hum and spikes are pick-up on the line; the beam does not follow them.</remarks>
public sealed record RampModel
{
    /// <summary>What arrives on the channel; default <see cref="RampKind.Rising"/>.</summary>
    public RampKind Kind { get; init; } = RampKind.Rising;

    /// <summary>Lower edge of the screen, as a share of the full code.</summary>
    /// <value>-2 to 3, below <see cref="High"/>; default 0.05. Below 0 the ramp clips at the converter's rail.</value>
    public double Low { get; init; } = 0.05;

    /// <summary>Upper edge of the screen, as a share of the full code.</summary>
    /// <value>-2 to 3; default 0.95. Above 1 the ramp clips at the converter's rail.</value>
    public double High { get; init; } = 0.95;

    /// <summary>Part of the screen's width by which the ramp starts before and ends behind the screen.</summary>
    /// <value>0 to 0.5; default 0.</value>
    public double Overscan { get; init; }

    /// <summary>White noise in codes rms.</summary>
    /// <value>0 or more; default 0. For <see cref="RampKind.Noise"/> it is the whole signal.</value>
    public double NoiseCodes { get; init; }

    /// <summary>Pick-up of a steady frequency, or null.</summary>
    public Hum? Hum { get; init; }

    /// <summary>The hum is on the ramp inside the instrument, so that beam and oscillator follow it; default false: pick-up on the way.</summary>
    public bool HumIsReal { get; init; }

    /// <summary>Single-scan spikes, or null.</summary>
    public SpikeModel? Spikes { get; init; }

    /// <summary>Bend of the course, as part of the screen's width by which it lies ahead in the middle of the sweep.</summary>
    /// <value>-0.25 to 0.25 (beyond, the ramp would run back); default 0.</value>
    public double Bow { get; init; }

    /// <summary>A change of slope, or null.</summary>
    public Kink? Kink { get; init; }

    /// <summary>A halt in every sweep, or null.</summary>
    public PauseModel? Pause { get; init; }

    /// <summary>Equal steps in which the beam moves, a staircase; 0 moves smoothly.</summary>
    /// <value>0, or 2 to 1,048,576; default 0.</value>
    public int Steps { get; init; }

    /// <summary>Slow wandering of the whole ramp on the line, as a share of the full code per second.</summary>
    public double OffsetDriftPerSecond { get; init; }

    /// <summary>Slow growth of the ramp's size on the line, relative, per second.</summary>
    public double SizeDriftPerSecond { get; init; }

    /// <summary>Corner of an AC coupling that makes the ramp droop, in hertz; null is DC coupled.</summary>
    /// <value>Positive; the coupled ramp is centred on the middle of the converter.</value>
    public double? CouplingHz { get; init; }

    /// <summary>Level of a ramp that is none (constant, noise, mains, floating), or the start of a walk, as a share of the full code.</summary>
    /// <value>-1 to 2; default 0.5.</value>
    public double RestingLevel { get; init; } = 0.5;

    /// <summary>Step of <see cref="RampKind.Walk"/> in codes rms per scan; turned back at the rails.</summary>
    /// <value>0 or more; default 1.</value>
    public double WalkCodes { get; init; } = 1;

    /// <summary>Frequency of <see cref="RampKind.Mains"/> in hertz; default 50.</summary>
    public double MainsHz { get; init; } = 50;

    /// <summary>Peak of <see cref="RampKind.Mains"/> before clipping, as a share of the full code; default 0.4.</summary>
    public double MainsAmplitude { get; init; } = 0.4;

    /// <summary>Where <see cref="RampKind.Mains"/> is clipped, as a share of the full code on either side of the resting level; null is a sine.</summary>
    public double? MainsClip { get; init; }

    /// <summary>Part of the vertical that <see cref="RampKind.Floating"/> repeats.</summary>
    /// <value>0 to 1; default 0.3.</value>
    public double FloatingShare { get; init; } = 0.3;

    /// <summary>Volts at code 0 and at the full code, for the setup; default 0 and 10.</summary>
    public CodeVolts Volts { get; init; } = new(0, 10);

    /// <summary>Whether the channel carries sweeps that a perfect observer of it can find.</summary>
    internal bool HasSweeps => Kind is RampKind.Rising or RampKind.Falling or RampKind.BothWays;

    internal void Validate()
    {
        Check.Range(Low, -2, 3, "Ramp.Low", "a share of the full code");
        Check.Range(High, -2, 3, "Ramp.High", "a share of the full code");
        if (!(Low < High)) throw new ArgumentException($"Ramp.Low is {Low} and Ramp.High is {High}; low must be below high. Use the kind to make the ramp fall.");
        Check.Range(Overscan, 0, 0.5, "Ramp.Overscan", "a part of the screen's width");
        Check.AtLeastZero(NoiseCodes, "Ramp.NoiseCodes");
        Check.Range(Bow, -0.25, 0.25, "Ramp.Bow", "a part of the screen's width");
        if (Steps is 1 or < 0 or > 1 << 20) throw new ArgumentException($"Ramp.Steps is {Steps}; give 0 for a smooth ramp or 2 to 1,048,576 steps.");
        Check.Finite(OffsetDriftPerSecond, "Ramp.OffsetDriftPerSecond");
        Check.Finite(SizeDriftPerSecond, "Ramp.SizeDriftPerSecond");
        if (CouplingHz is { } corner) Check.Positive(corner, "Ramp.CouplingHz");
        Check.Range(RestingLevel, -1, 2, "Ramp.RestingLevel", "a share of the full code");
        Check.AtLeastZero(WalkCodes, "Ramp.WalkCodes");
        Check.Positive(MainsHz, "Ramp.MainsHz");
        Check.AtLeastZero(MainsAmplitude, "Ramp.MainsAmplitude");
        if (MainsClip is { } clip) Check.Positive(clip, "Ramp.MainsClip");
        Check.Range(FloatingShare, 0, 1, "Ramp.FloatingShare", "a part of the vertical");
        if (Volts.AtCodeZero == Volts.AtFullCode) throw new ArgumentException("Ramp.Volts has the same volts at code 0 and at the full code; they must differ.");
        Hum?.Validate("Ramp.Hum");
        Spikes?.Validate();
        Kink?.Validate();
        Pause?.Validate();
    }
}
