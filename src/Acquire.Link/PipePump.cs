using System.IO.Pipelines;

namespace Acquire.Link;

/// <summary>Carries bytes from a pipe to a decoder.</summary>
public static class PipePump
{
    /// <summary>Reads until the pipe ends, then completes the decoder. Allocates nothing for each read.</summary>
    /// <remarks>The decoder is called on whichever thread the pipe goes on, one call at a time. The reader is left to the caller to complete.</remarks>
    /// <param name="reader">The pipe.</param>
    /// <param name="decoder">Takes the bytes; it keeps what is begun, so every byte is consumed at once and the pipe never has to hold a frame.</param>
    /// <param name="cancel">Ends waiting.</param>
    /// <exception cref="OperationCanceledException">Cancelled; the decoder was not completed.</exception>
    /// <exception cref="LinkVersionException">The device speaks an unknown major version.</exception>
    public static async Task PumpAsync(PipeReader reader, IByteDecoder decoder, CancellationToken cancel)
    {
        ArgumentNullException.ThrowIfNull(reader);
        ArgumentNullException.ThrowIfNull(decoder);
        while (true)
        {
            ReadResult result = await reader.ReadAsync(cancel).ConfigureAwait(false);
            foreach (ReadOnlyMemory<byte> piece in result.Buffer) decoder.Take(piece.Span);
            reader.AdvanceTo(result.Buffer.End);
            cancel.ThrowIfCancellationRequested();
            if (result.IsCompleted) break;
            if (result.IsCanceled) throw new OperationCanceledException("The pipe's reader was told to stop waiting.");
        }

        decoder.Complete();
    }
}
