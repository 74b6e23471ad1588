using Acquire.Capture;

namespace Acquire.Recordings;

/// <summary>A stretch of scans that lie back to back in the file and in time.</summary>
/// <param name="ByteOffset">Position in the file of the first scan.</param>
/// <param name="Scans">Scans, at least 1.</param>
/// <param name="LostScans">Scans missing before the first one; 0 is none.</param>
/// <param name="IsBreak">An unknown number of scans is missing before the first one.</param>
/// <param name="Cause">Why scans are missing before the first one.</param>
internal readonly record struct Segment(long ByteOffset, long Scans, long LostScans, bool IsBreak, GapCause Cause);
