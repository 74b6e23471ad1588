namespace Acquire.Sources.Synthetic;

/// <summary>What arrives on the ramp channel.</summary>
public enum RampKind
{
    /// <summary>Codes rise during a sweep, then fly back.</summary>
    Rising,

    /// <summary>Codes fall during a sweep, then fly back.</summary>
    Falling,

    /// <summary>The instrument draws both ways: a triangle.</summary>
    BothWays,

    /// <summary>A knob turned by hand: visits at random places, standing still between them.</summary>
    Manual,

    /// <summary>No ramp: one level.</summary>
    Constant,

    /// <summary>No ramp: white noise about one level.</summary>
    Noise,

    /// <summary>No ramp: a level that wanders.</summary>
    Walk,

    /// <summary>No ramp: mains pick-up, if wanted clipped to a trapezium.</summary>
    Mains,

    /// <summary>No ramp: an open input that repeats a part of the first vertical, as a shared sample-and-hold does.</summary>
    Floating,
}
