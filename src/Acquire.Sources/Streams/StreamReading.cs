namespace Acquire.Sources.Streams;

/// <summary>Reads a stream block by block until it ends or is stopped.</summary>
internal static class StreamReading
{
    private const int BlockBytes = 65_536;

    /// <summary>Gives every block; does not close the stream.</summary>
    /// <exception cref="SourceException">A read failed.</exception>
    public static void Run(string name, Stream stream, Action<ReadOnlySpan<byte>> give, CancellationToken stop)
    {
        using ReadWait wait = new(stop);
        byte[] buffer = new byte[BlockBytes];
        while (!stop.IsCancellationRequested)
        {
            int count;
            try
            {
                if (!wait.TryWait(stream.ReadAsync(buffer, stop), out count)) return;
            }
            catch (OperationCanceledException) when (stop.IsCancellationRequested)
            {
                return;
            }
            catch (Exception exception) when (exception is IOException or ObjectDisposedException or UnauthorizedAccessException or NotSupportedException)
            {
                throw new SourceException(SourceFailure.Unreadable, $"{ByteSource.Named(name)} reading failed ({exception.Message.ReplaceLineEndings(" ")}); check what feeds it.", exception);
            }

            if (count == 0) return;
            give(buffer.AsSpan(0, count));
        }
    }
}
