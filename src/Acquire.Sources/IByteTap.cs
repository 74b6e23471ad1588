using Acquire.Capture;

namespace Acquire.Sources;

/// <summary>Gets the bytes of a source as they came, before any decoder sees them.</summary>
/// <remarks>Called on the source's thread, one call at a time. What it throws ends the run.</remarks>
public interface IByteTap
{
    /// <summary>Bytes that follow on those taken before.</summary>
    /// <param name="bytes">The source's, read during the call only.</param>
    void Take(ReadOnlySpan<byte> bytes);

    /// <summary>Bytes are missing here: the connection was lost and made anew.</summary>
    /// <param name="cause">Why.</param>
    void Interrupt(GapCause cause);
}
