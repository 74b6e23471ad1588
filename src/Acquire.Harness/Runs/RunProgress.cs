using System.Diagnostics;

namespace Acquire.Harness.Runs;

/// <summary>One line on standard error that says how far a run is; only on a terminal, and only when it takes a while.</summary>
internal sealed class RunProgress
{
    private static readonly TimeSpan Interval = TimeSpan.FromMilliseconds(250);

    private readonly TextWriter _error;
    private long _last = Stopwatch.GetTimestamp();
    private bool _printed;

    private RunProgress(TextWriter error) => _error = error;

    /// <summary>Progress for this process, or null where standard error is not a terminal.</summary>
    public static RunProgress? ForTerminal(TextWriter error) => Console.IsErrorRedirected ? null : new RunProgress(error);

    /// <summary>Says how far the run is, at most four times a second.</summary>
    public void Report(long scans, long of)
    {
        if (Stopwatch.GetElapsedTime(_last) < Interval) return;
        _last = Stopwatch.GetTimestamp();
        _printed = true;
        _error.Write($"\r{100.0 * scans / Math.Max(of, 1):0} % of {of} scans");
    }

    /// <summary>Takes the line away.</summary>
    public void Done()
    {
        if (_printed) _error.Write("\r" + new string(' ', 40) + "\r");
    }
}
