namespace Acquire.Sources.Synthetic;

/// <summary>One break: scans are missing and nobody knows how many.</summary>
/// <param name="AtScan">Scans delivered before it, 1 or more.</param>
/// <param name="HiddenScans">Scans that pass unseen, 0 or more. The instrument moves on by these; positions do not count them.</param>
public sealed record BreakAt(long AtScan, long HiddenScans);
