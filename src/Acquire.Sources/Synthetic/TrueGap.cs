namespace Acquire.Sources.Synthetic;

/// <summary>A place where scans are missing.</summary>
/// <param name="AtScan">Index of the first scan behind it among delivered scans.</param>
/// <param name="AtPosition">Position of the first missing scan.</param>
/// <param name="LostScans">Missing scans; for a break those that passed unseen, which positions do not count.</param>
public sealed record TrueGap(long AtScan, long AtPosition, long LostScans);
