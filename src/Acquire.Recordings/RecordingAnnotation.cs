namespace Acquire.Recordings;

/// <summary>A remark about a stretch of a recording.</summary>
/// <param name="StartScan">Index in the file of the first scan it is about.</param>
/// <param name="ScanCount">Scans it is about; null is up to the end of its capture segment.</param>
/// <param name="Label">Short text, 20 characters at most recommended, or null.</param>
/// <param name="Comment">Longer text, or null.</param>
/// <param name="Mark">Auxiliary word of the device that holds from the first scan on, or null.</param>
public sealed record RecordingAnnotation(long StartScan, long? ScanCount = null, string? Label = null, string? Comment = null, ushort? Mark = null);
