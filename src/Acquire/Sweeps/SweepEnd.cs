namespace Acquire.Sweeps;

/// <summary>Why a sweep ends where it ends.</summary>
public enum SweepEnd
{
    /// <summary>The ramp reached its end and flew back.</summary>
    Retrace,

    /// <summary>The ramp flew back before it had reached its end.</summary>
    Abort,

    /// <summary>A known number of scans is missing.</summary>
    Gap,

    /// <summary>An unknown number of scans is missing.</summary>
    Break,

    /// <summary>The stream ended inside the sweep.</summary>
    End,
}
