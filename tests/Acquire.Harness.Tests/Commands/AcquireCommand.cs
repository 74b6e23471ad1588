using System.Diagnostics;

namespace Acquire.Harness.Tests.Commands;

/// <summary>Runs the built command as a process of its own, as a user would.</summary>
internal static class AcquireCommand
{
    private static readonly TimeSpan Limit = TimeSpan.FromSeconds(60);

    /// <summary>Folder with the two recordings of a circuit simulator.</summary>
    public static string Data { get; } = Path.Combine(Repository(), "tests", "data");

    public static CommandResult Run(params string[] args) => RunIn(Data, args);

    public static CommandResult RunIn(string folder, params string[] args) => Finish(Start(folder, args), args);

    /// <summary>Runs with a heap that cannot grow beyond a limit.</summary>
    public static CommandResult RunWithHeap(long heapBytes, string folder, params string[] args) =>
        Finish(Start(folder, args, ("DOTNET_GCHeapHardLimit", heapBytes.ToString("x"))), args);

    /// <summary>Runs it in a shell that has done something first: set a limit, closed a stream.</summary>
    public static CommandResult RunBehind(string shell, string folder, params string[] args)
    {
        ProcessStartInfo start = new("bash") { WorkingDirectory = folder, RedirectStandardOutput = true, RedirectStandardError = true };

        // The runtime maps its own code through a file of no size, which a limit on files would not let it have.
        start.Environment["DOTNET_EnableWriteXorExecute"] = "0";
        foreach (string arg in (string[])["-c", shell + "; exec \"$@\"", "bash", "dotnet", Path.Combine(AppContext.BaseDirectory, "Acquire.Harness.dll"), .. args])
            start.ArgumentList.Add(arg);
        return Finish(Process.Start(start) ?? throw new InvalidOperationException("The shell could not be started."), args);
    }

    private static CommandResult Finish(Process started, string[] args)
    {
        using Process process = started;
        Task<string> output = process.StandardOutput.ReadToEndAsync(), error = process.StandardError.ReadToEndAsync();
        if (!process.WaitForExit(Limit))
        {
            process.Kill(entireProcessTree: true);
            throw new TimeoutException($"acquire {string.Join(' ', args)} still runs after {Limit.TotalSeconds} s.");
        }

        return new CommandResult(process.ExitCode, output.GetAwaiter().GetResult(), error.GetAwaiter().GetResult());
    }

    public static Process Start(string folder, params string[] args) => Start(folder, args, variable: null);

    /// <summary>Starts with a file as standard input, which is written in the background.</summary>
    public static Process StartWithInput(string folder, string inputPath, params string[] args)
    {
        Process process = Start(folder, args, variable: null, closeInput: false);
        byte[] input = File.ReadAllBytes(inputPath);
        _ = Task.Run(() =>
        {
            try
            {
                process.StandardInput.BaseStream.Write(input);
                process.StandardInput.Close();
            }
            catch (IOException)
            {
                // The command ended before it had read everything.
            }
        });
        return process;
    }

    private static Process Start(string folder, string[] args, (string Name, string Value)? variable, bool closeInput = true)
    {
        ProcessStartInfo start = new("dotnet")
        {
            WorkingDirectory = folder,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
        };
        start.ArgumentList.Add(Path.Combine(AppContext.BaseDirectory, "Acquire.Harness.dll"));
        if (variable is { } set) start.Environment[set.Name] = set.Value;
        foreach (string arg in args) start.ArgumentList.Add(arg);
        Process process = Process.Start(start) ?? throw new InvalidOperationException("The command could not be started.");
        if (closeInput) process.StandardInput.Close();
        return process;
    }

    /// <summary>Folder of the solution, found by walking up from the test assembly.</summary>
    public static string Repository()
    {
        DirectoryInfo? folder = new(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "Acquire.sln"))) folder = folder.Parent;
        return folder?.FullName ?? throw new DirectoryNotFoundException("No folder above the test assembly holds Acquire.sln.");
    }
}
