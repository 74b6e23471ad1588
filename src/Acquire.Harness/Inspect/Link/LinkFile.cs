using Acquire.Capture;
using Acquire.Harness.Shell;
using Acquire.Link;
using Microsoft.Win32.SafeHandles;

namespace Acquire.Harness.Inspect.Link;

/// <summary>A file of bytes as they came over a link; read as often as wanted, in constant memory.</summary>
internal sealed class LinkFile : IDisposable
{
    private const int BytesPerRead = 256 << 10;
    private const int BytesLookedAt = 256 << 10;

    // None where the file holds nothing: a pipe says so too, and opening one would wait for a writer that no signal to stop ends.
    private readonly SafeFileHandle? _handle;
    private readonly byte[] _buffer = new byte[BytesPerRead];

    private LinkFile(string path, SafeFileHandle? handle)
    {
        Path = path;
        _handle = handle;
        Length = handle is null ? 0 : RandomAccess.GetLength(handle);
    }

    /// <summary>Ending of the file that <c>capture --raw</c> writes.</summary>
    public const string Extension = ".raw";

    /// <summary>Name as given.</summary>
    public string Path { get; }

    /// <summary>Bytes in it.</summary>
    public long Length { get; }

    /// <summary>Whether a name is that of such a file: by its ending, or since there is a sound frame near its beginning.</summary>
    /// <param name="path">Any name.</param>
    public static bool Is(string path)
    {
        try
        {
            if (!File.Exists(path) || new FileInfo(path) is { Length: 0 }) return path.EndsWith(Extension, StringComparison.Ordinal) && File.Exists(path);
            if (path.EndsWith(Extension, StringComparison.Ordinal)) return true;
            if (path.EndsWith(".sigmf-meta", StringComparison.Ordinal) || path.EndsWith(".sigmf-data", StringComparison.Ordinal)) return false;
            using LinkFile file = Open(path);
            LinkDecoder decoder = new(new SilentReceiver(), new LinkDecoderOptions { StopAtUnknownMajor = false });
            decoder.Take(file.Bytes(0, BytesLookedAt));
            decoder.Complete();
            return decoder.CountOf(LinkVerdict.Accepted) > 0;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException or CommandFailure)
        {
            // Whoever reads it as a recording says what is wrong with it.
            return false;
        }
    }

    /// <summary>Opens a file.</summary>
    /// <exception cref="CommandFailure">It cannot be read.</exception>
    public static LinkFile Open(string path)
    {
        try
        {
            if (new FileInfo(FileLinks.Followed(path)) is { Exists: true, Length: 0 }) return new LinkFile(path, handle: null);
            return new LinkFile(path, File.OpenHandle(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete));
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            throw CommandFailure.Unreadable(path, $"it cannot be read: {WhyNot(exception, "check the name and its links")}", exception);
        }
    }

    /// <summary>Decodes it from its beginning.</summary>
    /// <param name="receiver">Gets the scans.</param>
    /// <param name="observer">Sees every frame, or null.</param>
    /// <param name="goOn">Asked between two reads.</param>
    /// <param name="cancel">Stops it.</param>
    /// <returns>The decoder, for its counts.</returns>
    public LinkDecoder Decode(IScanReceiver receiver, ILinkObserver? observer, Func<bool>? goOn, CancellationToken cancel)
    {
        LinkDecoder decoder = new(receiver, new LinkDecoderOptions { StopAtUnknownMajor = false, Observer = observer });
        long at = 0;
        while (goOn is null || goOn())
        {
            cancel.ThrowIfCancellationRequested();
            int count = Read(_buffer, at);
            if (count == 0) break;
            decoder.Take(_buffer.AsSpan(0, count));
            at += count;
        }

        decoder.Complete();
        return decoder;
    }

    /// <summary>Some bytes of it; fewer where it begins or ends.</summary>
    /// <param name="offset">First byte; may be negative.</param>
    /// <param name="count">Bytes wanted.</param>
    public byte[] Bytes(long offset, int count)
    {
        long from = Math.Clamp(offset, 0, Length), to = Math.Clamp(offset + count, from, Length);
        byte[] bytes = new byte[to - from];
        int done = 0;
        while (done < bytes.Length && Read(bytes.AsSpan(done), from + done) is > 0 and var more) done += more;
        return bytes[..done];
    }

    public void Dispose() => _handle?.Dispose();

    private int Read(Span<byte> bytes, long offset)
    {
        try
        {
            return _handle is null ? 0 : RandomAccess.Read(_handle, bytes, offset);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            throw CommandFailure.Unreadable(Path, $"it cannot be read at byte {offset}: {WhyNot(exception, "check the device that it is on")}", exception);
        }
    }

    private static string WhyNot(Exception exception, string otherwise) =>
        exception is UnauthorizedAccessException ? "access is denied; change its permissions" : $"{WriteCure.ReasonOf(exception)}; {otherwise}";
}
