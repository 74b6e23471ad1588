namespace Acquire.Scales;

/// <summary>One point of a sweep's shape curve.</summary>
/// <param name="Fraction">Screen fraction, 0 to 1.</param>
/// <param name="Share">Share of the way from the axis' start to its end, 0 to 1.</param>
public readonly record struct ShapePoint(double Fraction, double Share);
