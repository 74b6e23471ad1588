using Acquire.Capture;

namespace Acquire.Recordings;

/// <summary>What one call of <see cref="RecordingReader.Read"/> found.</summary>
/// <param name="Kind">Scans, a gap, a break or the end.</param>
/// <param name="Scans">Whole scans copied to the front of the span; 0 unless <paramref name="Kind"/> is scans.</param>
/// <param name="LostScans">Scans missing between the scan before and the scan after; 0 unless <paramref name="Kind"/> is a gap.</param>
/// <param name="Cause">Why scans are missing, where the recording says so; otherwise file for a gap, unknown for a break.</param>
public readonly record struct RecordingRead(
    RecordingReadKind Kind, int Scans = 0, long LostScans = 0, GapCause Cause = GapCause.File);
