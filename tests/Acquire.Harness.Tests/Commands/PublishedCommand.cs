using System.Diagnostics;
using Acquire.Harness.Tests.Doubles;

namespace Acquire.Harness.Tests.Commands;

/// <summary>The command published ahead of time, once for all tests of a class.</summary>
public sealed class PublishedCommand : IDisposable
{
    // Two compilations, on a machine that may be busy with other tests.
    private static readonly TimeSpan Limit = TimeSpan.FromMinutes(30);

    private readonly ScratchFolder _folder = new();
    private bool _published;

    public static string Sources { get; } = Path.Combine(AcquireCommand.Repository(), "src", "Acquire.Harness", "Aot");

    /// <summary>Where a published program lies; skips the test where the tool chain is absent.</summary>
    /// <param name="parts">acquire, or a level and the program's name.</param>
    public string PathOf(params string[] parts)
    {
        Need("gcc");
        Assert.SkipUnless(File.Exists("/usr/include/zlib.h"), "zlib.h is absent: install zlib1g-dev.");
        if (!_published) Run("bash", Path.Combine(Sources, "publish"), _folder.Path).AssertDone();
        _published = true;
        return Path.Combine([_folder.Path, .. parts]);
    }

    /// <summary>Skips the test where a program is not installed.</summary>
    public static void Need(string tool)
    {
        string[] folders = (Environment.GetEnvironmentVariable("PATH") ?? "").Split(':', StringSplitOptions.RemoveEmptyEntries);
        Assert.SkipUnless(folders.Any(f => File.Exists(Path.Combine(f, tool))), $"{tool} is not installed.");
    }

    internal static CommandResult Run(string program, params string[] args)
    {
        using Process process = Process.Start(new ProcessStartInfo(program, args)
        {
            WorkingDirectory = AcquireCommand.Data,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        })!;
        Task<string> output = process.StandardOutput.ReadToEndAsync(), error = process.StandardError.ReadToEndAsync();
        if (!process.WaitForExit(Limit))
        {
            process.Kill(entireProcessTree: true);
            throw new TimeoutException($"{program} {string.Join(' ', args)} still runs after {Limit.TotalMinutes} minutes.");
        }

        return new CommandResult(process.ExitCode, output.GetAwaiter().GetResult(), error.GetAwaiter().GetResult());
    }

    public void Dispose() => _folder.Dispose();
}
