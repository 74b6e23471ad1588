namespace Acquire.Sources.Native;

/// <summary>Why reading a descriptor ended.</summary>
internal enum PumpEnd
{
    /// <summary>The stop was signalled.</summary>
    Stopped,

    /// <summary>The other side closed.</summary>
    Ended,

    /// <summary>A call failed.</summary>
    Failed,
}
