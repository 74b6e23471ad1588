using System.Collections.Concurrent;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>Writes blocks of bytes, one after another, on a thread of its own, since a pipe's memory is small.</summary>
internal sealed class FeedThread : IDisposable
{
    private readonly BlockingCollection<byte[]> _blocks = [];
    private readonly Thread _thread;

    /// <param name="write">Writes a block; false or a broken pipe ends the feed.</param>
    /// <param name="end">Called behind the last block.</param>
    public FeedThread(Func<byte[], bool> write, Action end)
    {
        _thread = new Thread(() =>
        {
            try
            {
                foreach (byte[] block in _blocks.GetConsumingEnumerable())
                    if (!write(block)) return;
                end();
            }
            catch (Exception exception) when (exception is IOException or InvalidOperationException or System.Net.Sockets.SocketException)
            {
                // The source has closed its end.
            }
        })
        { IsBackground = true };
        _thread.Start();
    }

    public void Feed(byte[] block) => _blocks.Add(block);

    public void End() => _blocks.CompleteAdding();

    public void Dispose()
    {
        if (!_blocks.IsAddingCompleted) _blocks.CompleteAdding();
        if (_thread.Join(TimeSpan.FromSeconds(20))) _blocks.Dispose();
    }
}
