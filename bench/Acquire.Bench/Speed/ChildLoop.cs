using System.Diagnostics;

namespace Acquire.Bench.Speed;

/// <summary>A program that has its words ready and goes through them once for each line that it is sent.</summary>
/// <remarks>It answers each line, and says when it is ready, with a line of its own: so it can take turns with ways in this program. The pipe costs some ten microseconds a round.</remarks>
internal sealed class ChildLoop : IDisposable
{
    private readonly Process _process;

    public ChildLoop(string program, params string[] arguments)
    {
        _process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardInput = true, RedirectStandardOutput = true })
            ?? throw new InvalidOperationException($"{program} did not start.");
        Answer();
    }

    public void Run()
    {
        _process.StandardInput.WriteLine();
        Answer();
    }

    public void Dispose()
    {
        _process.StandardInput.Close();
        _process.WaitForExit();
        _process.Dispose();
    }

    private void Answer()
    {
        if (_process.StandardOutput.ReadLine() is null) throw new InvalidOperationException($"{_process.StartInfo.FileName} ended before it answered.");
    }
}
