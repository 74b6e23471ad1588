using Microsoft.Win32.SafeHandles;

namespace Acquire.Recordings;

/// <summary>Opens files for reading and turns what can go wrong into one line.</summary>
internal static class FileOpening
{
    /// <summary>Opens a file that is read by position.</summary>
    /// <param name="path">Path of the file.</param>
    /// <param name="length">Bytes in the file.</param>
    /// <param name="missing">The failure to report when there is no such file.</param>
    /// <param name="empty">The failure to report when the file holds nothing.</param>
    /// <exception cref="RecordingException">The file cannot be opened.</exception>
    public static SafeFileHandle Open(string path, out long length, RecordingFailure missing, RecordingFailure empty)
    {
        try
        {
            // Looked at before it is opened: opening a pipe would wait for a writer. Pipes and devices say 0 bytes.
            if (Directory.Exists(path)) throw Folder(path);
            if (new FileInfo(FileLinks.Followed(path)) is { Exists: true, Length: 0 })
            {
                throw new RecordingException(empty,
                    $"{VisibleText.Whole(path)} is empty or not an ordinary file; name a file that holds something.");
            }

            // Shared with a writer, so that a recording under way can be read up to where it is now.
            SafeFileHandle handle = File.OpenHandle(path, FileMode.Open, FileAccess.Read,
                FileShare.ReadWrite | FileShare.Delete, FileOptions.SequentialScan);
            length = RandomAccess.GetLength(handle);
            return handle;
        }
        catch (Exception e) when (e is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new RecordingException(missing, $"{VisibleText.Whole(path)} does not exist; check the name and the folder.", e);
        }
        catch (UnauthorizedAccessException e)
        {
            throw Directory.Exists(path)
                ? Folder(path)
                : new RecordingException(RecordingFailure.NotPermitted,
                    $"{VisibleText.Whole(path)} may not be read by this user; change its permissions or run as its owner.", e);
        }
        catch (Exception e) when (e is IOException and not RecordingException or NotSupportedException or ArgumentException)
        {
            throw new RecordingException(RecordingFailure.Unreadable,
                $"{VisibleText.Whole(path)} cannot be read: {VisibleText.Of(e.Message)} Check the file, its links and its device.", e);
        }
    }

    /// <summary>Fills a span from a position.</summary>
    /// <param name="handle">Open file.</param>
    /// <param name="bytes">Filled to its end.</param>
    /// <param name="offset">Position of the first byte in the file.</param>
    /// <param name="path">Name for messages.</param>
    /// <exception cref="RecordingException">The file became shorter, or the device failed.</exception>
    public static void ReadExactly(SafeFileHandle handle, Span<byte> bytes, long offset, string path)
    {
        while (!bytes.IsEmpty)
        {
            int count;
            try
            {
                count = RandomAccess.Read(handle, bytes, offset);
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                throw new RecordingException(RecordingFailure.Unreadable,
                    $"{VisibleText.Whole(path)} cannot be read at byte {offset}: {(e is UnauthorizedAccessException ? "access is denied; change its permissions" : $"{SystemReason.Of(e)}; check the device that it is on")}.", e);
            }

            if (count == 0)
            {
                // Reads go ahead by blocks: where this one began says nothing of where the file ends.
                throw new RecordingException(RecordingFailure.Shrunk,
                    $"{VisibleText.Whole(path)} ends at byte {Math.Min(offset, RandomAccess.GetLength(handle))} although it was longer when it was opened; do not shorten it while it is read.");
            }

            bytes = bytes[count..];
            offset += count;
        }
    }

    private static RecordingException Folder(string path) =>
        new(RecordingFailure.IsFolder, $"{VisibleText.Whole(path)} is a folder; name a file inside it.");
}
