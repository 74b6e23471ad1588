namespace Acquire.Sources.Synthetic;

/// <summary>Result of one read of a synthetic bench.</summary>
/// <param name="Kind">What it gave.</param>
/// <param name="Count">Scans written, or scans lost in a gap; 0 for a break and the end.</param>
public readonly record struct SyntheticRead(SyntheticReadKind Kind, long Count);
