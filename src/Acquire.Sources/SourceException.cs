namespace Acquire.Sources;

/// <summary>A source could not be opened, failed, or does not fit; the message is one line that says what, why and what to do.</summary>
public sealed class SourceException : IOException
{
    /// <summary>Builds the exception.</summary>
    /// <param name="failure">Why.</param>
    /// <param name="message">One line: what, why, what to do.</param>
    /// <param name="cause">The exception below, or null.</param>
    public SourceException(SourceFailure failure, string message, Exception? cause = null)
        : base(message, cause) => Failure = failure;

    /// <summary>Why.</summary>
    public SourceFailure Failure { get; }
}
