namespace Acquire.Traces;

/// <summary>Whether a reference may be used for a reading.</summary>
public enum ReferenceVerdict
{
    /// <summary>Everything is known and agrees.</summary>
    Agrees,

    /// <summary>Nothing disagrees, but not everything is known; the issues say what to look at.</summary>
    Unsure,

    /// <summary>Settings differ, and the caller allowed it with a level offset that has to be printed.</summary>
    Allowed,

    /// <summary>It may not; the issues say why.</summary>
    Refused,
}
