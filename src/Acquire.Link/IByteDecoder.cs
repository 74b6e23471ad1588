using Acquire.Capture;

namespace Acquire.Link;

/// <summary>Turns bytes as they come from a wire, a socket or a file into scans, and hands those to the receiver it was built with.</summary>
/// <remarks>
/// Bytes may be cut anywhere: what comes out depends on the bytes alone. One thread calls it, one call at a time, and the receiver is called on
/// that thread during the call. No content of the bytes throws except where a decoder's documentation says so; what the receiver throws passes through,
/// and the decoder is not to be used after that. Nothing is allocated while scans flow.
/// </remarks>
public interface IByteDecoder
{
    /// <summary>Bytes taken so far.</summary>
    long BytesTaken { get; }

    /// <summary>Bytes taken so far that led to nothing: damaged, repeated, or in between.</summary>
    long BytesDiscarded { get; }

    /// <summary>Scans handed to the receiver.</summary>
    long ScansDelivered { get; }

    /// <summary>Scans known to be missing: those of gaps, and those that breaks say are missing at the least.</summary>
    long ScansLost { get; }

    /// <summary>Places where an unknown number of scans is missing.</summary>
    long Breaks { get; }

    /// <summary>Takes the bytes that follow on those taken before.</summary>
    /// <param name="bytes">Any number, cut anywhere; the caller's, read during the call only.</param>
    void Take(ReadOnlySpan<byte> bytes);

    /// <summary>Says that bytes are missing here: a plug was pulled, a buffer overflowed, a connection was made anew.</summary>
    /// <remarks>What was begun is discarded. Where the scans that follow do not say how many are missing, they follow on a break.</remarks>
    /// <param name="cause">Why; <see cref="GapCause.Link"/> where nobody knows.</param>
    void Interrupt(GapCause cause);

    /// <summary>Says that no more bytes come: hands on what only waited for confirmation and discards what was only begun.</summary>
    /// <remarks>May be called once more without effect. <see cref="Take"/> must not follow.</remarks>
    void Complete();
}
