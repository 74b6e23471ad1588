namespace Acquire.Harness.Inspect.Findings;

/// <summary>How much a finding matters; the gravest first, in which order they are listed.</summary>
internal enum FindingSeverity
{
    /// <summary>There is no usable picture, or it is wrong.</summary>
    Error,

    /// <summary>There is a picture, and a part of it is missing or not to be trusted.</summary>
    Warning,

    /// <summary>Worth knowing; nothing is wrong.</summary>
    Note,
}
