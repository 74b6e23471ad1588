using System.Globalization;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Text;

namespace Acquire.Harness.Shell;

/// <summary>Whether the system lets this process have as many files open at once as it needs.</summary>
/// <remarks>
/// Asked before anything else: what fails for want of a file later says that a part of the program is missing, that memory is, or nothing, for that too takes a file.
/// So nothing here needs one, nor a part of the program that is not loaded yet.
/// </remarks>
internal static partial class OpenFiles
{
    /// <summary>Files that may be open at once at the least.</summary>
    /// <remarks>Counted on Linux with .NET 10.0: a demo, which draws, needs 88, with those of which runtime and program are made.</remarks>
    public const int Least = 96;

    private const int StandardError = 2;

    /// <summary>Says on standard error that it does not.</summary>
    /// <returns>True where it was said, and nothing else is to be tried.</returns>
    public static bool AreTooFew()
    {
        // Compiled ahead of time the program is one file: what it needs was not counted.
        if (!RuntimeFeature.IsDynamicCodeSupported || Limit() is not { } limit || limit >= Least) return false;
        string line = string.Create(CultureInfo.InvariantCulture,
            $"acquire: a process of this user may have {limit} files open at once, and up to {Least} are needed; raise the limit, as with ulimit -n 1024.\n");
        Write(line);
        return true;
    }

    // Linux, asm-generic/resource.h; macOS, sys/resource.h.
    private static unsafe nuint? Limit()
    {
        if (!OperatingSystem.IsLinux() && !OperatingSystem.IsMacOS()) return null;
        nuint* limits = stackalloc nuint[2];
        return GetLimits(OperatingSystem.IsLinux() ? 7 : 8, limits) == 0 ? limits[0] : null;
    }

    // The platform's own streams take files, or are parts that are not loaded yet. Where nobody listens, the exit code tells.
    private static unsafe void Write(string line)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(line);
        fixed (byte* first = bytes) _ = Write(StandardError, first, (nuint)bytes.Length);
    }

    [LibraryImport("libc", EntryPoint = "write")]
    private static unsafe partial nint Write(int descriptor, byte* bytes, nuint count);

    [LibraryImport("libc", EntryPoint = "getrlimit")]
    private static unsafe partial int GetLimits(int resource, nuint* limits);
}
