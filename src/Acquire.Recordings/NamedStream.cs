namespace Acquire.Recordings;

/// <summary>A stream whose failures name what is being written, not the file that it is written to meanwhile.</summary>
/// <param name="stream">Gets the bytes; its owner closes it.</param>
/// <param name="problem">What becomes of its failures.</param>
internal sealed class NamedStream(FileStream stream, Func<Exception, Exception> problem) : Stream
{
    public override bool CanRead => false;

    public override bool CanSeek => stream.CanSeek;

    public override bool CanWrite => stream.CanWrite;

    public override long Length => stream.Length;

    public override long Position
    {
        get => stream.Position;
        set => Try(() => stream.Position = value);
    }

    public override void Flush() => Try(stream.Flush);

    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    public override long Seek(long offset, SeekOrigin origin)
    {
        long position = 0;
        Try(() => position = stream.Seek(offset, origin));
        return position;
    }

    public override void SetLength(long value) => Try(() => stream.SetLength(value));

    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        try
        {
            stream.Write(buffer);
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            throw problem(e);
        }
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing) stream.Dispose();
        base.Dispose(disposing);
    }

    private void Try(Action action)
    {
        try
        {
            action();
        }
        catch (Exception e) when (WriteCure.IsRefusal(e))
        {
            throw problem(e);
        }
    }
}
