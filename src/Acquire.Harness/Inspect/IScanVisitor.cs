using Acquire.Capture;

namespace Acquire.Harness.Inspect;

/// <summary>Is shown a stream from its beginning, in order. Each method returns whether it wants to see more.</summary>
internal interface IScanVisitor
{
    /// <summary>Scans that follow on the last ones.</summary>
    /// <param name="scans">Interleaved words, whole scans; valid during the call.</param>
    bool Scans(ReadOnlySpan<ushort> scans);

    /// <summary>A known number of scans is missing here.</summary>
    bool Lost(long lostScans, GapCause cause);

    /// <summary>An unknown number of scans is missing here.</summary>
    bool Broken(GapCause cause);
}
