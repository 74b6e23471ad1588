namespace Acquire.Sources;

/// <summary>Why a source could not be opened or ended early.</summary>
public enum SourceFailure
{
    /// <summary>There is nothing with that name.</summary>
    Missing,

    /// <summary>This user may not open it.</summary>
    NotPermitted,

    /// <summary>Somebody else holds it.</summary>
    Busy,

    /// <summary>It is something else than a serial port.</summary>
    NotTerminal,

    /// <summary>The name is that of a folder.</summary>
    IsFolder,

    /// <summary>It is there, but cannot do what was asked: a rate that the port does not have.</summary>
    Unsupported,

    /// <summary>The device was there and went away.</summary>
    Unplugged,

    /// <summary>Nobody listens at that address.</summary>
    Refused,

    /// <summary>The host's name is not known.</summary>
    HostUnknown,

    /// <summary>No way leads to the host, or it did not answer in time.</summary>
    Unreachable,

    /// <summary>The connection was there and broke.</summary>
    ConnectionLost,

    /// <summary>It could not be read.</summary>
    Unreadable,

    /// <summary>The name or an option in it is wrong.</summary>
    NameWrong,

    /// <summary>What came is of a kind or version that is not read here.</summary>
    NotUnderstood,

    /// <summary>The device or file says something else about its scans than the setup does.</summary>
    FormatDiffers,
}
