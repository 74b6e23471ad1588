namespace Acquire.Harness.Tests.Commands;

/// <summary>What a run of the command left behind.</summary>
internal sealed record CommandResult(int ExitCode, string Output, string Error)
{
    /// <summary>The run failed as every failure must: this code, one line on standard error that names the thing, nothing on standard output.</summary>
    public void AssertFailed(int exitCode, string named)
    {
        Assert.True(exitCode == ExitCode, $"Exit code {ExitCode}, not {exitCode}. Standard error: {Error}");
        Assert.StartsWith("acquire: ", Error, StringComparison.Ordinal);
        Assert.EndsWith("\n", Error, StringComparison.Ordinal);
        Assert.DoesNotContain('\n', Error[..^1]);
        Assert.Contains(named, Error, StringComparison.Ordinal);
        Assert.Empty(Output);
    }

    /// <summary>The run was done and complained of nothing.</summary>
    public CommandResult AssertDone()
    {
        Assert.True(ExitCode == 0, $"Exit code {ExitCode}. Standard error: {Error}");
        return this;
    }
}
