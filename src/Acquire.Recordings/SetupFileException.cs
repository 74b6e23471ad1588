namespace Acquire.Recordings;

/// <summary>A setup file could not be used; the message is one line that says member, value, rule and what to do.</summary>
public sealed class SetupFileException : IOException
{
    /// <summary>Builds the exception.</summary>
    /// <param name="failure">Why.</param>
    /// <param name="message">One line: what, why, what to do.</param>
    /// <param name="member">Path of the member, or null: the file as a whole.</param>
    /// <param name="cause">The exception below, or null.</param>
    public SetupFileException(SetupFileFailure failure, string message, string? member = null, Exception? cause = null)
        : base(message, cause)
    {
        Failure = failure;
        Member = member;
    }

    /// <summary>Why.</summary>
    public SetupFileFailure Failure { get; }

    /// <summary>Path of the member as it stands in the file ("sweep.edges.low"), or null: the file as a whole.</summary>
    public string? Member { get; }
}
