using System.CommandLine;

namespace Acquire.Harness.Shell;

/// <summary>How a verb is given its work.</summary>
internal static class CommandExtensions
{
    /// <summary>Sets what the verb does. It runs on the calling thread and may throw: <see cref="HarnessProgram"/> turns exceptions into a line and a code.</summary>
    /// <param name="command">The verb.</param>
    /// <param name="run">Returns the exit code; the token is cancelled by Ctrl-C.</param>
    public static void Runs(this Command command, Func<ParseResult, CancellationToken, int> run) =>
        command.SetAction((parsed, cancel) => Task.FromResult(run(parsed, cancel)));
}
