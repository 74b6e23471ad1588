namespace Acquire.Harness.Shell;

/// <summary>What the command's exit code says.</summary>
internal static class ExitCode
{
    /// <summary>Done.</summary>
    public const int Done = 0;

    /// <summary>The run finished and an expectation or check failed.</summary>
    public const int CheckFailed = 1;

    /// <summary>Wrong usage or wrong setup.</summary>
    public const int Usage = 2;

    /// <summary>A source or file could not be read or written.</summary>
    public const int Unreadable = 3;

    /// <summary>Stopped by the user; files are closed cleanly.</summary>
    public const int Stopped = 130;
}
