using Acquire.Recordings.Sigmf;

namespace Acquire.Recordings;

/// <summary>A file that appears under its name only when it is whole: written beside it and renamed.</summary>
/// <remarks>
/// Until <see cref="Commit"/> the name keeps what it had, or stays free; <see cref="Dispose"/> without it deletes what was written. A killed
/// process leaves at most a hidden file ending in .part. Device names (/dev/..., a pipe's number in /proc) cannot be renamed over and are written straight.
/// Not thread-safe.
/// </remarks>
public sealed class AtomicFile : IDisposable
{
    private const int DefaultBufferBytes = 64 << 10;

    private readonly FileStream _stream;
    private readonly string _target;
    private readonly string? _temporary;
    private readonly bool _byItsWriter;
    private State _state = State.Open;

    private AtomicFile(string path, string target, string? temporary, FileStream stream, bool byItsWriter)
    {
        FullName = path;
        _byItsWriter = byItsWriter;
        _target = target;
        _temporary = temporary;
        _stream = stream;
        Stream = new NamedStream(stream, e => Problem(path, Text(e), e));
    }

    private enum State
    {
        Open,
        Closed,
        Committed,
        Disposed,
    }

    /// <summary>The name that the file will have, as it was given.</summary>
    public string FullName { get; }

    /// <summary>Where to write; owned by this object, closed by <see cref="Commit"/> and <see cref="Dispose"/>.</summary>
    public Stream Stream { get; }

    /// <summary>Begins a file.</summary>
    /// <param name="path">Name that it will have. A symbolic link is followed: the file that it leads to is replaced.</param>
    /// <param name="bufferBytes">Bytes collected before they go to the system; 0 is none.</param>
    /// <exception cref="ArgumentException">The path is empty, or the bytes are fewer than none.</exception>
    /// <exception cref="IOException">The folder does not exist or may not be written, the name is that of a folder, or of a file of a recording that is being written at this moment; the message is one line with the cure.</exception>
    public static AtomicFile Create(string path, int bufferBytes = DefaultBufferBytes) => Create(path, bufferBytes, byItsWriter: false);

    /// <summary>Begins a file anew in a recording that is being written, for the one who writes it.</summary>
    /// <param name="path">Name of the file.</param>
    internal static AtomicFile CreateByItsWriter(string path) => Create(path, DefaultBufferBytes, byItsWriter: true);

    private static AtomicFile Create(string path, int bufferBytes, bool byItsWriter)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        ArgumentOutOfRangeException.ThrowIfNegative(bufferBytes);
        try
        {
            string target = FileLinks.Followed(path);
            if (Directory.Exists(target)) throw Problem(path, "it is a folder; name a file inside it");
            string folder = Path.GetDirectoryName(Path.GetFullPath(target)) ?? "";
            if (!Directory.Exists(folder)) throw Problem(path, $"the folder {VisibleText.Whole(folder)} does not exist; create it or name another");
            if (IsDevice(folder)) return new AtomicFile(path, target, null, OpenDevice(path, target, bufferBytes), byItsWriter);
            CheckReplaceable(target);
            if (!byItsWriter) RefuseRecorded(target);
            string temporary = Path.Combine(folder, $".acquire-{Path.GetRandomFileName()}.part");
            return new AtomicFile(path, target, temporary, Open(temporary, FileMode.CreateNew, bufferBytes), byItsWriter);
        }
        catch (UnauthorizedAccessException e)
        {
            throw Problem(path, "this user may not write there; change the permissions or name another folder", e);
        }
        catch (Exception e) when (e is IOException or NotSupportedException or ArgumentException && e is not (Refusal or RecordingException))
        {
            throw Problem(path, Text(e), e);
        }
    }

    /// <summary>Writes a whole file.</summary>
    /// <param name="path">Name that it will have.</param>
    /// <param name="bytes">What it will hold.</param>
    /// <exception cref="IOException">The file could not be written; what was there before is untouched.</exception>
    public static void WriteAllBytes(string path, ReadOnlySpan<byte> bytes)
    {
        using AtomicFile file = Create(path, bufferBytes: 0);
        try
        {
            file._stream.Write(bytes);
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            throw Problem(path, Text(e), e);
        }

        file.Commit();
    }

    /// <summary>Puts the file under its name: what was written reaches the disk first, then the name.</summary>
    /// <exception cref="IOException">The file could not be written whole, or its name is by now that of a recording that is being written; what was there before is untouched.</exception>
    /// <exception cref="InvalidOperationException">The file was committed or disposed before.</exception>
    public void Commit()
    {
        Close();
        Rename();
    }

    /// <summary>Writes all to disk and closes the stream; the name is still free or as before.</summary>
    internal void Close()
    {
        if (_state != State.Open)
            throw new InvalidOperationException($"{VisibleText.Whole(FullName)} is {_state} already; begin a new file.");
        try
        {
            // A device has no disk to flush to.
            _stream.Flush(flushToDisk: _temporary is not null);
            _stream.Dispose();
            _state = State.Closed;
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            throw Problem(FullName, Text(e), e);
        }
    }

    /// <summary>Gives a closed file its name.</summary>
    internal void Rename()
    {
        if (!_byItsWriter) RefuseRecorded(_target);
        try
        {
            if (_temporary is not null) File.Move(_temporary, _target, overwrite: true);
            _state = State.Committed;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw Problem(FullName, Text(e), e);
        }
    }

    /// <summary>Closes the stream; deletes what was written unless it was committed.</summary>
    public void Dispose()
    {
        if (_state is State.Committed or State.Disposed) return;
        _state = State.Disposed;
        try
        {
            _stream.Dispose();
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            // The file is thrown away: a buffer that could not be written does not matter any more.
        }
        finally
        {
            if (_temporary is not null) TryDelete(_temporary);
        }
    }

    private static FileStream Open(string path, FileMode mode, int bufferBytes) =>
        new(path, mode, FileAccess.Write, FileShare.Read, bufferBytes);

    private static void CheckReplaceable(string target)
    {
        // Asked for its attributes, a name that is too long says so now, and not when the file is written and gets it.
        try
        {
            File.GetAttributes(target);
        }
        catch (FileNotFoundException)
        {
            return;
        }

        var existing = new FileInfo(target);
        if (existing is { Exists: true, IsReadOnly: true }) throw Problem(target, "it is read-only; change its permissions or name another file");
    }

    // A dataset that grows is open: replaced, its writer would go on into a file that nobody can find, and its metadata would speak of another one's words.
    private static void RefuseRecorded(string target)
    {
        string name = SigmfRecording.NameOf(target);
        if (name.Length < target.Length) OtherCapture.Refuse(name);
    }

    // Standard output that is a pipe has no name: /dev/stdout leads to one that nobody but the kernel can follow.
    private static FileStream OpenDevice(string path, string target, int bufferBytes)
    {
        string named = File.Exists(target) ? target : path;
        if (!File.Exists(named)) throw Problem(path, "nothing has that name, and no file can be made there; name another folder");
        return Open(named, FileMode.Open, bufferBytes);
    }

    private static bool IsDevice(string folder) =>
        !OperatingSystem.IsWindows()
        && (folder is "/dev" or "/proc" || folder.StartsWith("/dev/", StringComparison.Ordinal) || folder.StartsWith("/proc/", StringComparison.Ordinal))
        && !folder.StartsWith("/dev/shm", StringComparison.Ordinal);

    private static void TryDelete(string path)
    {
        try
        {
            File.Delete(path);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // Nobody is waiting for this file any more, and the name ends in .part.
        }
    }

    private static string Text(Exception e) => $"{SystemReason.Of(e)}; {WriteCure.Of(e, "name another folder")}";

    private static Refusal Problem(string path, string reason, Exception? cause = null) =>
        new($"{VisibleText.Whole(path)} cannot be written: {reason}.", cause);

    /// <summary>One line that names the file, the reason and the cure.</summary>
    internal sealed class Refusal(string message, Exception? cause) : IOException(message, cause);
}
