namespace Acquire.Sources.Synthetic;

/// <summary>Part of the instrument's cycle in which a stream begins.</summary>
public enum BeginPhase
{
    /// <summary>In a sweep.</summary>
    Sweep,

    /// <summary>In the flyback; where there is none, at the start of what follows it.</summary>
    Retrace,

    /// <summary>In the rest; where there is none, at the start of what follows it.</summary>
    Rest,
}
