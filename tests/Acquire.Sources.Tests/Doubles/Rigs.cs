using System.Collections.Concurrent;
using System.IO.Pipes;
using System.Net;
using System.Net.Sockets;
using Acquire.Recordings;
using Acquire.Sources.Serial;
using Acquire.Sources.Streams;
using Acquire.Sources.Synthetic;

namespace Acquire.Sources.Tests.Doubles;

/// <summary>A serial source on a real pseudo-terminal. The end of the stream is the plug that is pulled once everything was read.</summary>
internal sealed class SerialRig : ISourceRig
{
    private readonly Pty _pty = new();
    private readonly FeedThread _feed;

    public SerialRig(bool usePlatformClass = false)
    {
        Source = new SerialSource(_pty.Port, new SerialOptions { Baud = 3_000_000, ReplugWait = TimeSpan.Zero }, WordBytes.Decoder) { UsePlatformClass = usePlatformClass };
        _feed = new FeedThread(bytes => _pty.Write(bytes), _pty.Dispose);
    }

    public IScanSource Source { get; }

    public void Feed(ushort[] scans) => _feed.Feed(WordBytes.Of(scans));

    public void EndFeed() => _feed.End();

    public void Dispose()
    {
        _pty.Dispose();
        _feed.Dispose();
    }
}

/// <summary>Standard input that is really the reading end of a pipe.</summary>
internal sealed class PipeRig : ISourceRig
{
    private readonly AnonymousPipeServerStream _writer = new(PipeDirection.Out);
    private readonly AnonymousPipeClientStream _reader;
    private readonly FeedThread _feed;

    public PipeRig()
    {
        _reader = new AnonymousPipeClientStream(PipeDirection.In, _writer.ClientSafePipeHandle);
        Source = new StandardInputSource(WordBytes.Decoder) { Descriptor = (int)_reader.SafePipeHandle.DangerousGetHandle() };
        _feed = new FeedThread(
            bytes =>
            {
                _writer.Write(bytes);
                return true;
            },
            _writer.Dispose);
    }

    public IScanSource Source { get; }

    public void Feed(ushort[] scans) => _feed.Feed(WordBytes.Of(scans));

    public void EndFeed() => _feed.End();

    public void Dispose()
    {
        _reader.Dispose();
        _writer.ClientSafePipeHandle.SetHandleAsInvalid();
        _writer.Dispose();
        _feed.Dispose();
    }
}

/// <summary>A stream that is the reading end of a pipe in memory.</summary>
internal sealed class StreamRig : ISourceRig
{
    private readonly System.IO.Pipelines.Pipe _pipe = new(new System.IO.Pipelines.PipeOptions(pauseWriterThreshold: 0));
    private readonly Lock _gate = new();

    public StreamRig() => Source = new StreamSource(_pipe.Reader.AsStream(), "stream:memory", WordBytes.Decoder);

    public IScanSource Source { get; }

    public void Feed(ushort[] scans)
    {
        lock (_gate)
        {
            // Without a limit the pipe takes everything at once.
            ValueTask<System.IO.Pipelines.FlushResult> written = _pipe.Writer.WriteAsync(WordBytes.Of(scans));
            Assert.True(written.IsCompleted);
        }
    }

    public void EndFeed() => _pipe.Writer.Complete();

    public void Dispose() => _pipe.Writer.Complete();
}

/// <summary>A TCP source and the listener that it connects to.</summary>
internal sealed class TcpRig : ISourceRig
{
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly FeedThread _feed;
    private Socket? _peer;

    public TcpRig()
    {
        _listener.Start();
        Source = new TcpSource("127.0.0.1", ((IPEndPoint)_listener.LocalEndpoint).Port, null, WordBytes.Decoder);
        _feed = new FeedThread(
            bytes =>
            {
                (_peer ??= _listener.AcceptSocket()).Send(bytes);
                return true;
            },
            () => (_peer ??= _listener.AcceptSocket()).Shutdown(SocketShutdown.Send));
    }

    public IScanSource Source { get; }

    public void Feed(ushort[] scans) => _feed.Feed(WordBytes.Of(scans));

    public void EndFeed() => _feed.End();

    public void Dispose()
    {
        _listener.Stop();
        _feed.Dispose();
        _peer?.Dispose();
    }
}

/// <summary>A recording that is written when the feed ends, since it ends by itself.</summary>
internal sealed class RecordingRig : ISourceRig
{
    private readonly RecordingFolder _folder = new();
    private readonly RecordingWriter _writer;

    public RecordingRig()
    {
        string name = _folder.File("night");
        _writer = new RecordingWriter(name, new RecordingWriterOptions { ChannelCount = 2, Bits = 16, ScanRateHz = 1_000_000 });
        Source = new RecordingSource(name);
    }

    public IScanSource Source { get; }

    public void Feed(ushort[] scans) => _writer.Write(scans);

    public void EndFeed() => _writer.Complete();

    public void Dispose()
    {
        _writer.Dispose();
        _folder.Dispose();
    }
}

/// <summary>The source that docs/embedding.md shows as an example of one's own.</summary>
internal sealed class QueueRig : ISourceRig
{
    private readonly BlockingCollection<ushort[]> _blocks = [];

    public QueueRig() => Source = new QueueSource(_blocks, WordBytes.Description);

    public IScanSource Source { get; }

    public void Feed(ushort[] scans) => _blocks.Add(scans);

    public void EndFeed() => _blocks.CompleteAdding();

    public void Dispose() => _blocks.Dispose();
}

/// <summary>A synthetic bench, which brings what it makes up and nothing else.</summary>
internal sealed class BenchRig(double? pace) : ISourceRig
{
    public IScanSource Source { get; private set; } = SourceOf(1_000_000, pace);

    public ushort[] Bring(int scans)
    {
        Source = SourceOf(scans, pace);
        ushort[] words = new ushort[2 * scans];
        Assert.Equal(scans, new SyntheticBench(OptionsOf(scans)).Read(words).Count);
        return words;
    }

    public void Feed(ushort[] scans) => throw new NotSupportedException();

    public void EndFeed()
    {
    }

    public void Dispose()
    {
    }

    private static SyntheticOptions OptionsOf(int scans) => new() { Seed = 23, Scans = scans };

    private static SyntheticSource SourceOf(int scans, double? pace) => new(OptionsOf(scans)) { Pace = pace };
}
