namespace Acquire.Imaging.Charts;

/// <summary>A stretch of a scale.</summary>
/// <param name="Low">Lower end, in the scale's unit.</param>
/// <param name="High">Upper end, above <paramref name="Low"/>.</param>
public readonly record struct ChartRange(double Low, double High);
