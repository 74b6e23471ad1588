namespace Acquire.Sources.Synthetic;

/// <summary>One gap: a known number of scans is missing.</summary>
/// <param name="AtScan">Scans delivered before it, 1 or more.</param>
/// <param name="LostScans">Scans that are missing, 1 or more.</param>
public sealed record GapAt(long AtScan, long LostScans);
