using System.ComponentModel;
using System.Diagnostics;

namespace Acquire.Harness.Tests.Doubles;

/// <summary>A file system in memory that soon is full. Whoever may mount none is told so, and the test is skipped.</summary>
internal sealed class SmallDisk : IDisposable
{
    private readonly string _folder;

    /// <param name="folder">Folder at which it is mounted; made here.</param>
    /// <param name="limits">Options of the mount, such as <c>size=2m</c>.</param>
    public SmallDisk(string folder, string limits)
    {
        _folder = Directory.CreateDirectory(folder).FullName;
        Assert.SkipUnless(Run("mount", "-t", "tmpfs", "-o", limits, "tmpfs", _folder) == 0, "This user may not mount a small disk.");
    }

    public void Dispose() => Run("umount", _folder);

    private static int Run(string command, params string[] args)
    {
        try
        {
            using Process process = Process.Start(new ProcessStartInfo(command, args) { RedirectStandardError = true })!;
            process.WaitForExit();
            return process.ExitCode;
        }
        catch (Win32Exception)
        {
            return -1;
        }
    }
}
