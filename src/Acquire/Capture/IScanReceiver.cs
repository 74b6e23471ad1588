namespace Acquire.Capture;

/// <summary>Takes a stream of scans from a source or a decoder, in stream order.</summary>
/// <remarks>
/// One thread calls it, one call at a time. Positions count scans from the first one taken, those of gaps included; a break adds nothing.
/// A call may take as long as the receiver needs: that is how a receiver makes a source wait, and a source that cannot wait
/// counts what it lost meanwhile and says so with the next <see cref="Skip"/>.
/// </remarks>
public interface IScanReceiver
{
    /// <summary>What the following scans are; before the first scan if known, and again where it changes.</summary>
    /// <param name="description">Immutable; may be kept.</param>
    void Describe(StreamDescription description);

    /// <summary>Scans that follow directly on what came before.</summary>
    /// <param name="scans">Interleaved words, whole scans; the caller's, read during the call only.</param>
    void Take(ReadOnlySpan<ushort> scans);

    /// <summary>A known number of scans is missing here.</summary>
    /// <param name="lostScans">Scans, at least 1; over the whole stream at most <see cref="ScanGap.MostLostScans"/>.</param>
    /// <param name="cause">Why.</param>
    void Skip(long lostScans, GapCause cause);

    /// <summary>An unknown number of scans is missing here.</summary>
    /// <param name="cause">Why.</param>
    /// <param name="atLeast">Scans that are missing at the least, 0 or more.</param>
    void Break(GapCause cause, long atLeast);

    /// <summary>An auxiliary word that holds from a scan on.</summary>
    /// <param name="position">Position in this stream, not before the last mark nor after the next scan.</param>
    /// <param name="word">The word.</param>
    void Mark(long position, ushort word);

    /// <summary>Words for people from the device.</summary>
    /// <param name="text">As the device sent it: any characters, control characters included; whoever shows it escapes it.</param>
    void Say(string text);
}
