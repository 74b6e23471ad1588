namespace Acquire.Recordings;

/// <summary>A recording could not be read or written; the message is one line that says what, why and what to do.</summary>
public sealed class RecordingException : IOException
{
    /// <summary>Builds the exception.</summary>
    /// <param name="failure">Why.</param>
    /// <param name="message">One line: what, why, what to do.</param>
    /// <param name="cause">The exception below, or null.</param>
    public RecordingException(RecordingFailure failure, string message, Exception? cause = null)
        : base(message, cause) => Failure = failure;

    /// <summary>Why.</summary>
    public RecordingFailure Failure { get; }
}
