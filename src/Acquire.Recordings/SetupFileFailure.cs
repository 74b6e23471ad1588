namespace Acquire.Recordings;

/// <summary>Why a setup file could not be used.</summary>
public enum SetupFileFailure
{
    /// <summary>There is no such file, or it cannot be opened or read.</summary>
    Unreadable,

    /// <summary>The file is not JSON, or too large or too deep to be a setup.</summary>
    NotJson,

    /// <summary>A member's name is not known, or is there twice.</summary>
    MemberUnknown,

    /// <summary>A member that must be there is missing.</summary>
    MemberMissing,

    /// <summary>A member has a value of the wrong type or outside its range.</summary>
    ValueWrong,
}
