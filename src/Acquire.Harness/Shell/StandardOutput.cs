using Microsoft.Win32.SafeHandles;

namespace Acquire.Harness.Shell;

/// <summary>Standard output as bytes, for machine output.</summary>
internal sealed class StandardOutput : Stream
{
    private readonly Stream _stream = OperatingSystem.IsWindows()
        ? Console.OpenStandardOutput()
        // Console's own stream swallows "broken pipe", so a run whose reader has gone would go on to its end for nobody.
        : new FileStream(new SafeFileHandle(1, ownsHandle: false), FileAccess.Write, bufferSize: 0);

    public override bool CanRead => false;

    public override bool CanSeek => false;

    public override bool CanWrite => true;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override void Flush() => _stream.Flush();

    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        try
        {
            _stream.Write(buffer);
        }
        catch (IOException exception) when (WriteCure.ReaderHasGone(exception))
        {
            throw new BrokenOutputException(exception);
        }
        catch (UnauthorizedAccessException exception)
        {
            throw Closed(exception);
        }
        catch (Exception exception) when (WriteCure.IsRefusal(exception))
        {
            throw Failed(exception);
        }
    }

    /// <summary>Does something that writes to standard output.</summary>
    /// <exception cref="CommandFailure">Standard output is closed, or takes no more.</exception>
    public static void Try(Action write)
    {
        try
        {
            write();
        }
        catch (UnauthorizedAccessException exception)
        {
            throw Closed(exception);
        }
        catch (Exception exception) when (WriteCure.IsRefusal(exception))
        {
            throw Failed(exception);
        }
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing) _stream.Dispose();
        base.Dispose(disposing);
    }

    // It was never open.
    private static CommandFailure Closed(UnauthorizedAccessException exception) =>
        CommandFailure.Unreadable("standard output", "is closed; leave it open, or name a file", exception);

    // It takes no more.
    private static CommandFailure Failed(Exception exception) =>
        CommandFailure.Unreadable("standard output", $"could not be written: {WriteCure.ReasonOf(exception)}; {WriteCure.Of(exception, "send it elsewhere")}", exception);
}
