namespace Acquire.Sources.Synthetic;

/// <summary>The truth of one scan.</summary>
public readonly record struct ScanTruth
{
    /// <summary>What the instrument did.</summary>
    public ScanPhase Phase { get; init; }

    /// <summary>Number of the sweep in <see cref="SyntheticTruth.Sweeps"/>, or -1 outside of sweeps.</summary>
    public long Sweep { get; init; }

    /// <summary>Number of the sweep as the instrument counts, lost ones included; retrace and rest belong to the sweep before.</summary>
    public long InstrumentSweep { get; init; }

    /// <summary>Where the beam stands across the screen, before noise, hum, spikes, drift and coupling; NaN where there is no ramp.</summary>
    public double Fraction { get; init; }

    /// <summary>Level of the ramp line in codes, drift and coupling included, before noise, hum, spikes and the converter.</summary>
    public double RampCodes { get; init; }

    /// <summary>What the first vertical stands for at the instant at which it is read, skew and pure delay included, before noise floor,
    /// video filter, hum and white noise: dB for <see cref="VerticalKind.Level"/>, otherwise (and under a code function) codes.</summary>
    public double Level { get; init; }

    /// <summary>Whether the beam is off: retrace, rest or a blanked pause.</summary>
    public bool BeamOff { get; init; }
}
