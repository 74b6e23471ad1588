using Acquire.Capture;
using Acquire.Link;

namespace Acquire.Sources.Streams;

/// <summary>Bytes from any stream: a pipe, a file, a connection of one's own.</summary>
public sealed class StreamSource : ByteSource
{
    private readonly Stream _stream;

    /// <summary>Takes a stream.</summary>
    /// <param name="stream">Read from where it stands. The source's from the start of the run on, which closes it unless <see cref="LeaveOpen"/> is set.</param>
    /// <param name="name">What the source is called in messages.</param>
    /// <param name="decoder">Makes the decoder for a receiver, once, when the source runs.</param>
    /// <exception cref="ArgumentException">The stream cannot be read, or the name is empty.</exception>
    /// <remarks>A stop ends the run whatever the stream does. A stream that does not honour cancellation and stands in a read may finish that read later, on a thread of the pool.</remarks>
    public StreamSource(Stream stream, string name, Func<IScanReceiver, IByteDecoder> decoder)
        : base(name, decoder)
    {
        ArgumentNullException.ThrowIfNull(stream);
        if (!stream.CanRead) throw new ArgumentException($"The stream of {name} cannot be read; give one that can.", nameof(stream));
        _stream = stream;
    }

    /// <summary>Whether the writer at the other end waits while nobody reads; default true, as pipes and files do.</summary>
    public bool Waits { get; init; } = true;

    /// <summary>Whether the stream stays open after the run; default false.</summary>
    public bool LeaveOpen { get; init; }

    /// <inheritdoc/>
    public override bool CanWait => Waits;

    /// <inheritdoc/>
    protected override void RunBytes(CancellationToken stop)
    {
        try
        {
            StreamReading.Run(Name, _stream, Give, stop);
        }
        finally
        {
            if (!LeaveOpen) _stream.Dispose();
        }
    }
}
