using System.Runtime.InteropServices;

namespace Acquire;

/// <summary>A folder held for a moment, so that of two programs that look whether a name is free and then take it, one does both before the other begins.</summary>
/// <remarks>
/// An advisory lock on the folder itself: no file is left by a process that is killed, and nobody else is kept out. Elsewhere than on Linux, where the file
/// system has no such locks, and where somebody holds one for two seconds, since a script locked the folder around the command, it goes on without.
/// Compiled into every room that takes names.
/// </remarks>
internal sealed partial class FolderClaim : IDisposable
{
    // Names are taken in milliseconds.
    private const int MostTries = 400;
    private const int BetweenTriesMs = 5;

    // Linux, asm-generic/fcntl.h and errno-base.h.
    private const int LockExclusive = 2, LockWithoutWaiting = 4, CloseOnExec = 0x80000, Again = 11, Interrupted = 4;

    private int _folder;

    private FolderClaim(int folder) => _folder = folder;

    /// <summary>Holds the folder of a file, or of the recording of that name.</summary>
    /// <param name="path">Name of the file.</param>
    /// <returns>Lets go when it is disposed.</returns>
    public static FolderClaim On(string path)
    {
        if (!OperatingSystem.IsLinux() || Path.GetDirectoryName(Path.GetFullPath(path)) is not { } name) return new FolderClaim(-1);
        int folder = Open(name, CloseOnExec);
        for (int i = 0; folder >= 0 && i < MostTries && Lock(folder, LockExclusive | LockWithoutWaiting) < 0; i++)
        {
            if (Marshal.GetLastPInvokeError() is not (Again or Interrupted)) break;
            Thread.Sleep(BetweenTriesMs);
        }

        return new FolderClaim(folder);
    }

    /// <summary>Lets go.</summary>
    public void Dispose()
    {
        if (_folder >= 0) _ = Close(_folder);
        _folder = -1;
    }

    [LibraryImport("libc", EntryPoint = "open", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    private static partial int Open(string path, int flags);

    [LibraryImport("libc", EntryPoint = "flock", SetLastError = true)]
    private static partial int Lock(int file, int operation);

    [LibraryImport("libc", EntryPoint = "close")]
    private static partial int Close(int file);
}
