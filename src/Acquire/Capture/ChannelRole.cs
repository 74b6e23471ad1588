namespace Acquire.Capture;

/// <summary>What a channel of a scan carries.</summary>
public enum ChannelRole
{
    /// <summary>The sweep voltage that moves the beam from left to right. Exactly one channel has this role.</summary>
    Ramp,

    /// <summary>A signal that lifts the beam. One or more channels have this role; each gets its own trace.</summary>
    Vertical,

    /// <summary>A two-level line that says when the beam is off. At most one channel has this role.</summary>
    Blanking,

    /// <summary>Recorded and passed on, never interpreted.</summary>
    Auxiliary,
}
