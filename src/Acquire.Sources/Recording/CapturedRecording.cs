namespace Acquire.Sources.Recording;

/// <summary>One recording of a capture.</summary>
/// <param name="Name">Its name, without an ending.</param>
/// <param name="FirstPosition">Position in the stream of its first scan, lost scans counted.</param>
/// <param name="Scans">Scans in it.</param>
public sealed record CapturedRecording(string Name, long FirstPosition, long Scans);
