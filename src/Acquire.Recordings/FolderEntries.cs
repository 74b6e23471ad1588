using System.Runtime.InteropServices;

namespace Acquire.Recordings;

/// <summary>Brings a folder's entries to the disk, so that a file's name outlives a power cut as its content does.</summary>
internal static partial class FolderEntries
{
    private const int InvalidArgument = 22;

    /// <summary>Waits until the folder's entries are on the disk.</summary>
    /// <param name="folder">Path of the folder.</param>
    /// <exception cref="IOException">The folder is gone, or the disk failed.</exception>
    /// <remarks>Where the system has no such call (Windows) names reach the disk with their files, and nothing is done.</remarks>
    public static void Flush(string folder)
    {
        if (OperatingSystem.IsWindows()) return;
        int file = Open(folder, 0);
        if (file < 0) throw Failed(folder);
        try
        {
            // Some file systems have folders that cannot be flushed: there is nothing more to be had from them.
            if (Flush(file) < 0 && Marshal.GetLastPInvokeError() != InvalidArgument) throw Failed(folder);
        }
        finally
        {
            _ = Close(file);
        }
    }

    private static IOException Failed(string folder) =>
        new($"The folder {VisibleText.Whole(folder)} cannot be brought to the disk: {Marshal.GetLastPInvokeErrorMessage()}.");

    [LibraryImport("libc", EntryPoint = "open", SetLastError = true, StringMarshalling = StringMarshalling.Utf8)]
    private static partial int Open(string path, int flags);

    [LibraryImport("libc", EntryPoint = "fsync", SetLastError = true)]
    private static partial int Flush(int file);

    [LibraryImport("libc", EntryPoint = "close")]
    private static partial int Close(int file);
}
