namespace Acquire.Sources.Synthetic;

/// <summary>What a vertical carries.</summary>
public enum VerticalKind
{
    /// <summary>A level in decibels: tracking source, tones, device under test, noise floor.</summary>
    Level,

    /// <summary>A sine over the whole converter, whatever the ramp does.</summary>
    Sine,

    /// <summary>The instrument's sweep number as a code, so that a scan filed under the wrong sweep shows.</summary>
    SweepNumber,

    /// <summary>The resting code: noise and hum only.</summary>
    Resting,
}
