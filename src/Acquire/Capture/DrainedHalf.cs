namespace Acquire.Capture;

/// <summary>What a consumer gets to read: what was lost before a half, then the half's scans.</summary>
/// <remarks>Views on the buffer's memory: valid until <see cref="PingPongBuffer.CompleteDrain"/>, on the consumer's thread.</remarks>
public readonly ref struct DrainedHalf
{
    internal DrainedHalf(ReadOnlySpan<ScanGap> gapsBefore, ReadOnlySpan<ushort> scans, int scanCount)
    {
        GapsBefore = gapsBefore;
        Scans = scans;
        ScanCount = scanCount;
    }

    /// <summary>What is missing between the scans of the half before and these, in the order of the stream; mostly empty.</summary>
    public ReadOnlySpan<ScanGap> GapsBefore { get; }

    /// <summary>Interleaved words, whole scans; empty where a producer handed over gaps alone.</summary>
    public ReadOnlySpan<ushort> Scans { get; }

    /// <summary>Scans in <see cref="Scans"/>.</summary>
    public int ScanCount { get; }
}
