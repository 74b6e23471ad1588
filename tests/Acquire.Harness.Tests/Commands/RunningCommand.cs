using System.Diagnostics;
using System.Text;

namespace Acquire.Harness.Tests.Commands;

/// <summary>The built command while it runs: what it printed so far, and signals to it.</summary>
internal sealed class RunningCommand : IDisposable
{
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(60);

    private readonly Process _process;
    private readonly StringBuilder _output = new(), _error = new();
    private readonly object _gate = new();

    private RunningCommand(Process process)
    {
        _process = process;
        process.OutputDataReceived += (_, e) => Note(_output, e.Data);
        process.ErrorDataReceived += (_, e) => Note(_error, e.Data);
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
    }

    public string Output
    {
        get
        {
            lock (_gate) return _output.ToString();
        }
    }

    public string Error
    {
        get
        {
            lock (_gate) return _error.ToString();
        }
    }

    public int Id => _process.Id;

    public bool HasExited => _process.HasExited;

    public static RunningCommand Start(string folder, params string[] args) => new(AcquireCommand.Start(folder, args));

    /// <summary>Waits until standard output has a line that contains a text.</summary>
    public void WaitForLine(string text)
    {
        lock (_gate)
        {
            while (!_output.ToString().Contains(text, StringComparison.Ordinal))
            {
                if (!Monitor.Wait(_gate, Limit) || _process.HasExited)
                    Assert.Fail($"'{text}' did not come. Output: {_output} Error: {_error}");
            }
        }
    }

    public void Interrupt() => Send(2);

    public void Terminate() => Send(15);

    public void HangUp() => Send(1);

    public void Kill() => Send(9);

    public int WaitForExit(TimeSpan? limit = null)
    {
        if (!_process.WaitForExit(limit ?? Limit)) Assert.Fail($"The command still runs after {(limit ?? Limit).TotalSeconds} s. Output: {Output} Error: {Error}");
        _process.WaitForExit();
        return _process.ExitCode;
    }

    public void Dispose()
    {
        if (!_process.HasExited) _process.Kill(entireProcessTree: true);
        _process.WaitForExit();
        _process.Dispose();
    }

    private void Send(int signal)
    {
        using Process kill = Process.Start("kill", [$"-{signal}", _process.Id.ToString()]);
        kill.WaitForExit();
    }

    private void Note(StringBuilder text, string? line)
    {
        lock (_gate)
        {
            if (line is not null) text.AppendLine(line);
            Monitor.PulseAll(_gate);
        }
    }
}
