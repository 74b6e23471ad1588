namespace Acquire.Sweeps;

/// <summary>Which way the ramp's codes go while the beam draws.</summary>
public enum RampDirection
{
    /// <summary>Learnt from the ramp.</summary>
    Auto,

    /// <summary>The codes rise during a sweep.</summary>
    Rising,

    /// <summary>The codes fall during a sweep; column 0 is at the high edge.</summary>
    Falling,

    /// <summary>The instrument draws both ways; column 0 is at the low edge.</summary>
    Both,
}
