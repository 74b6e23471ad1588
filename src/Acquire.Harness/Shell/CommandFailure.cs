namespace Acquire.Harness.Shell;

/// <summary>Ends the command with an exit code and one line on standard error.</summary>
internal sealed class CommandFailure : Exception
{
    public CommandFailure(int exitCode, string line, Exception? inner = null)
        : base(line, inner) => ExitCode = exitCode;

    /// <summary>One of <see cref="Shell.ExitCode"/>.</summary>
    public int ExitCode { get; }

    /// <summary>Wrong usage or wrong setup.</summary>
    /// <param name="thing">What is wrong: an option, a file, a value.</param>
    /// <param name="reason">Why, and what to do.</param>
    public static CommandFailure Usage(string thing, string reason) => new(Shell.ExitCode.Usage, $"{thing}: {reason}");

    /// <summary>A source or file could not be read or written.</summary>
    /// <param name="thing">The file or source.</param>
    /// <param name="reason">Why, and what to do.</param>
    /// <param name="inner">Where the reason came from.</param>
    public static CommandFailure Unreadable(string thing, string reason, Exception? inner = null) =>
        new(Shell.ExitCode.Unreadable, $"{thing}: {reason}", inner);
}
