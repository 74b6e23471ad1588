using System.Diagnostics;
using Acquire.Capture;
using Acquire.Harness.Shell;
using Acquire.Sources;

namespace Acquire.Harness.Capturing;

/// <summary>Writes the bytes of a source to a file as they came; half a second's worth at most is lost with a killed process.</summary>
internal sealed class RawTap : IByteTap, IDisposable
{
    private static readonly TimeSpan FlushInterval = TimeSpan.FromMilliseconds(500);

    private readonly string _path;
    private FileStream? _file;
    private long _flushed = Stopwatch.GetTimestamp();

    /// <summary>Sees whether the file can be written. An older one of that name is replaced with the first bytes, and stays where none come.</summary>
    /// <exception cref="IOException">It cannot be written there.</exception>
    public RawTap(string path)
    {
        _path = path;
        Recordings.AtomicFile.Create(path, bufferBytes: 0).Dispose();
    }

    /// <summary>Bytes taken; once the file could not be written, those that are in it.</summary>
    public long Bytes { get; private set; }

    /// <inheritdoc/>
    public void Take(ReadOnlySpan<byte> bytes)
    {
        try
        {
            _file ??= Begin();
            _file.Write(bytes);
            Bytes += bytes.Length;
            if (Stopwatch.GetElapsedTime(_flushed) < FlushInterval) return;
            _file.Flush();
            _flushed = Stopwatch.GetTimestamp();
        }
        catch (Exception exception) when (WriteCure.IsRefusal(exception))
        {
            throw Failed(exception);
        }
    }

    /// <inheritdoc/>
    public void Interrupt(GapCause cause)
    {
        // The bytes follow on one another in the file; the frames' numbers tell what is missing between them.
    }

    /// <summary>Brings all bytes to the disk.</summary>
    public void Complete()
    {
        try
        {
            _file?.Flush(flushToDisk: true);
        }
        catch (Exception exception) when (WriteCure.IsRefusal(exception))
        {
            throw Failed(exception);
        }
    }

    public void Dispose()
    {
        try
        {
            _file?.Dispose();
        }
        catch (Exception exception) when (WriteCure.IsRefusal(exception))
        {
            // It was said already that the file cannot be written.
        }
    }

    // Bytes come before scans do: a second capture of that name would be refused only after it had emptied this file of the first one.
    private FileStream Begin()
    {
        using FolderClaim claim = FolderClaim.On(_path);
        OutputFile.RefuseOpen(_path);
        return new FileStream(_path, FileMode.Create, FileAccess.Write, FileShare.Read, 64 << 10);
    }

    // Of the block that failed a part may be in the file, and of those before it what waited may not: only the file knows. Closed now, it changes no more.
    private CommandFailure Failed(Exception exception)
    {
        if (_file is not null)
        {
            Dispose();
            Bytes = new FileInfo(_path) is { Exists: true, Length: var length } ? length : 0;
        }

        return CommandFailure.Unreadable(_path, $"it could not be written: {WriteCure.ReasonOf(exception)}; {WriteCure.Of(exception, "name another folder")}", exception);
    }
}
