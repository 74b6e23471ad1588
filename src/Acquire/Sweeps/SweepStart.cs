namespace Acquire.Sweeps;

/// <summary>Why a sweep starts where it starts.</summary>
public enum SweepStart
{
    /// <summary>The ramp began to move.</summary>
    Ramp,

    /// <summary>A gap ended the sweep before; the ramp was under way when scans came again.</summary>
    Gap,

    /// <summary>A break ended the sweep before; the ramp was under way when scans came again.</summary>
    Break,

    /// <summary>The stream begins inside this sweep.</summary>
    Begin,
}
