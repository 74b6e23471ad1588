namespace Acquire.Recordings;

/// <summary>Why the system refused, in its own words and without the name that it was asked for: that may be one nobody has heard of.</summary>
internal static class SystemReason
{
    private const string BeforeName = " : '";

    /// <summary>The reason, without an end mark.</summary>
    /// <param name="exception">As the platform or <see cref="AtomicFile"/> threw it.</param>
    public static string Of(Exception exception)
    {
        string message = WriteCure.ReasonOf(exception);
        while (exception is AtomicFile.Refusal { InnerException: { } cause })
        {
            exception = cause;
            message = WriteCure.ReasonOf(exception);
        }

        int name = message.IndexOf(BeforeName, StringComparison.Ordinal);
        return VisibleText.Of(name > 0 ? message[..name] : message).TrimEnd('.');
    }
}
