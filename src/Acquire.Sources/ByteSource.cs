using System.Globalization;
using Acquire.Capture;
using Acquire.Link;

namespace Acquire.Sources;

/// <summary>A source that brings bytes, which a decoder turns into scans. Derive from it to bring bytes of another kind.</summary>
public abstract class ByteSource : IScanSource
{
    private readonly Func<IScanReceiver, IByteDecoder> _decoder;
    private IByteDecoder? _current;
    private long _reconnections;
    private int _hasRun;
    private bool _giving;

    /// <summary>Keeps name and decoder; opens nothing.</summary>
    /// <param name="name">What the source is called in messages; control characters are escaped.</param>
    /// <param name="decoder">Makes the decoder for a receiver, once, when the source runs.</param>
    protected ByteSource(string name, Func<IScanReceiver, IByteDecoder> decoder)
    {
        ArgumentException.ThrowIfNullOrEmpty(name);
        ArgumentNullException.ThrowIfNull(decoder);
        Name = VisibleText.Whole(name);
        _decoder = decoder;
    }

    /// <inheritdoc/>
    public string Name { get; }

    /// <inheritdoc/>
    public abstract bool CanWait { get; }

    /// <inheritdoc/>
    public long Reconnections => Volatile.Read(ref _reconnections);

    /// <summary>Gets the bytes as they came, or null: nobody does.</summary>
    public IByteTap? Tap { get; init; }

    /// <summary>The decoder of the run, or null before it; its counts may be read by any thread, and are exact when the run has ended.</summary>
    public IByteDecoder? Decoder => Volatile.Read(ref _current);

    /// <inheritdoc/>
    public void Run(IScanReceiver receiver, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(receiver);
        if (Interlocked.Exchange(ref _hasRun, 1) != 0)
            throw new InvalidOperationException($"{Name} has run before; a source runs once. Make another source.");
        if (stop.IsCancellationRequested) return;
        IByteDecoder decoder = _decoder(receiver);
        Volatile.Write(ref _current, decoder);
        try
        {
            RunBytes(stop);
        }
        catch (SourceException) when (!_giving)
        {
            // What waits in the decoder came before the fault. A fault that came out of the decoder or its receiver leaves nothing to hand on.
            decoder.Complete();
            throw;
        }
        catch (LinkVersionException exception)
        {
            throw new SourceException(SourceFailure.NotUnderstood, $"{Named(Name)} {exception.Message}", exception);
        }

        decoder.Complete();
    }

    /// <summary>Opens, calls <see cref="Give"/> with each block of bytes, closes; returns when the source has ended or was stopped.</summary>
    /// <param name="stop">As for <see cref="IScanSource.Run"/>.</param>
    /// <exception cref="SourceException">The source could not be opened, or failed.</exception>
    protected abstract void RunBytes(CancellationToken stop);

    /// <summary>Hands bytes on to the tap and the decoder.</summary>
    /// <param name="bytes">Bytes that follow on those before; read during the call only.</param>
    protected void Give(ReadOnlySpan<byte> bytes)
    {
        _giving = true;
        Tap?.Take(bytes);
        _current!.Take(bytes);
        _giving = false;
    }

    /// <summary>Says that bytes are missing here because the connection was lost and made anew; counted.</summary>
    /// <param name="cause">Why.</param>
    protected void Reconnected(GapCause cause)
    {
        Interlocked.Increment(ref _reconnections);
        _giving = true;
        Tap?.Interrupt(cause);
        _current!.Interrupt(cause);
        _giving = false;
    }

    /// <summary>How a message about a source begins.</summary>
    internal static string Named(string name) => name.TrimEnd(':') + ":";
}
