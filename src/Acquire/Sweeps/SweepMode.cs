namespace Acquire.Sweeps;

/// <summary>How the ramp is understood.</summary>
public enum SweepMode
{
    /// <summary>The ramp runs by itself from edge to edge and flies back.</summary>
    Swept,

    /// <summary>The ramp is turned by hand: every scan on the axis belongs to a column, nothing is retrace.</summary>
    Manual,

    /// <summary>No ramp: columns are equal stretches of time that follow one another without end.</summary>
    Time,
}
