namespace Acquire.Imaging.Charts;

/// <summary>A place in a history from which other settings, another axis, detector or placement hold.</summary>
/// <param name="Row">First row of the section, 0-based.</param>
/// <param name="Label">What changed.</param>
public sealed record HistorySection(int Row, string Label);
